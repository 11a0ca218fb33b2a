# For tests/run and tests/quick, which source this: steps that say what they do and how long it took.
# Expects `build` to be set: the folder that is built in.

jobs=${OXFADE_JOBS:-$(nproc)}
# What was compiled in another folder of this checkout, or in another checkout, is taken from ccache, if there is one.
export CCACHE_BASEDIR=$PWD CCACHE_NOHASHDIR=1
export CCACHE_SLOPPINESS=pch_defines,time_macros,include_file_mtime,include_file_ctime

failures=()
costs=()

minutes() { printf '%d min %02d s' $(($1 / 60)) $(($1 % 60)); }

step() {  # name, command…: runs it, and remembers what it took and whether it failed
    local name=$1 begin=$SECONDS said=done
    shift
    printf '== %s\n' "$name"
    "$@" || { said=FAILED; failures+=("$name"); }
    printf '== %s: %s, %s\n' "$name" "$said" "$(minutes $((SECONDS - begin)))"
    costs+=("$(printf '%-42s %6s   %s' "$name" "$said" "$(minutes $((SECONDS - begin)))")")
}

configure() {  # folder, cmake options…
    local folder=$1 launcher=()
    shift
    command -v ccache >/dev/null && launcher=(-DCMAKE_CXX_COMPILER_LAUNCHER=ccache)
    mkdir -p "$folder"
    cmake -S . -B "$folder" -G Ninja "${launcher[@]}" "$@" >"$folder/configure.log" 2>&1 || { cat "$folder/configure.log"; return 1; }
}

# Progress goes to the terminal, if there is one; otherwise a line every now and then, so that a log stays readable.
compile() {  # folder, targets…
    local folder=$1 log=$1/build.log
    shift
    if [[ -t 1 ]]; then
        NINJA_STATUS='[%f/%t, %es] ' cmake --build "$folder" -j "$jobs" ${1:+--target "$@"}
        return
    fi
    NINJA_STATUS='[%f/%t] ' cmake --build "$folder" -j "$jobs" ${1:+--target "$@"} >"$log" 2>&1 &
    local ninja=$! last='' now
    while kill -0 "$ninja" 2>/dev/null; do
        now=$(sed -n 's/^\(\[[0-9]*\/[0-9]*\]\).*/\1/p' "$log" | tail -n 1)
        [[ $now == "$last" || $((SECONDS % 20)) != 0 ]] || { printf '   %s\n' "$now"; last=$now; }
        sleep 1
    done
    wait "$ninja" || { grep -v '^\[[0-9]*/[0-9]*\] \(Building\|Linking\|Generating\)' "$log" | tail -n 60; return 1; }
}

# ctest with its output passed on, but its summary only kept in the log: it is to be the last thing that is printed.
run_ctest() {  # folder, ctest options…
    local folder=$1 status=0
    shift
    ctest --test-dir "$folder" --output-on-failure -j "$jobs" "$@" 2>&1 | tee "$folder/ctest.log" |
        sed -u '/% tests passed,/,$d' || status=1
    return "$status"
}

summary() { sed -n '/% tests passed,/,$p' "$build/ctest.log"; }
