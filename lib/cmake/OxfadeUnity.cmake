# OXFADE_UNITY compiles folders of sources as one: from scratch that takes less than half the time, for headers like
# those of JSON and TOML are read once; after a change it takes longer, so developers do without. The price: names in
# the unnamed namespaces of a folder's sources have to differ, or one of the sources stands alone here.
set(OXFADE_ALONE "scenario/table\\.cpp|study/(dead_end|fit|fit_solver|sweep)\\.cpp|plant/temperature\\.cpp")

# Puts sources of the library into groups, by folder; those of engine and laws stay apart.
function(oxfade_group_sources)
    foreach(source IN LISTS ARGN)
        string(REGEX MATCH "/src/(.*)/[^/]*$" folder "${source}")
        set(group "${CMAKE_MATCH_1}")
        if(group MATCHES "^(engine|flow|gas)" OR source MATCHES "${OXFADE_ALONE}" OR NOT folder)
            continue()
        elseif(source MATCHES "report/(json|study_[a-z_]*|survey_json)\\.cpp$")
            set(group report_json)
        endif()
        string(MAKE_C_IDENTIFIER "${group}" group)
        set_property(SOURCE "${source}" PROPERTY UNITY_GROUP "${group}")
    endforeach()
endfunction()
