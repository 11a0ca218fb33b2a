# OXFADE_UNITY compiles folders of sources as one: from scratch that takes less than half the time, for headers like
# those of JSON and TOML are read once; after a change it takes longer, so developers do without. The price: names in
# the unnamed namespaces of a group's sources have to differ, or one of the sources stands alone here.
set(OXFADE_ALONE "scenario/table\\.cpp|study/(dead_end|sweep)\\.cpp|plant/temperature\\.cpp")
# Of the engine, what is done once a run, and what decides between steps. What makes the steps stays apart.
set(OXFADE_ENGINE_ONCE "agenda|assembly|condense|cost|ensemble|layout|mesh|modes|network|network_links")
string(APPEND OXFADE_ENGINE_ONCE "|network_water|predict|resolution|side_by_side|simulation_actions|stretches|water_outcome")
set(OXFADE_ENGINE_MODES "switchboard[a-z_]*")

# Puts sources of the library into groups, by folder; those of the laws of gas and of the engine's steps stay apart.
function(oxfade_group_sources)
    foreach(source IN LISTS ARGN)
        string(REGEX MATCH "/src/(.*)/[^/]*$" folder "${source}")
        set(group "${CMAKE_MATCH_1}")
        if(source MATCHES "/engine/(${OXFADE_ENGINE_ONCE})\\.cpp$")
            set(group engine_once)
        elseif(source MATCHES "/engine/(${OXFADE_ENGINE_MODES})\\.cpp$")
            set(group engine_modes)
        elseif(group MATCHES "^(engine|gas)" OR source MATCHES "${OXFADE_ALONE}" OR NOT folder)
            continue()
        elseif(source MATCHES "report/(json|study_[a-z_]*|survey_json)\\.cpp$")
            set(group report_json)
        elseif(source MATCHES "study/fit[a-z_]*\\.cpp$")  # those with Eigen
            set(group study_fit)
        endif()
        string(MAKE_C_IDENTIFIER "${group}" group)
        set_property(SOURCE "${source}" PROPERTY UNITY_GROUP "${group}")
    endforeach()
endfunction()
