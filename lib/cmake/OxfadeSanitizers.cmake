# OXFADE_SANITIZE=address,undefined instruments everything built here, tests included.
if(OXFADE_SANITIZE)
    add_compile_options(-fsanitize=${OXFADE_SANITIZE} -fno-omit-frame-pointer -fno-sanitize-recover=all)
    add_link_options(-fsanitize=${OXFADE_SANITIZE})
endif()
