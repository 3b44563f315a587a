#!/usr/bin/env bash
# Installs what the tests need (Debian 12 packages; PyPI packages into .venv-tests) and runs
# every check of the project. Stops at the first that fails.
#
#   bash tests/run_all.sh            everything
#   bash tests/run_all.sh NAME...    only these stages, by the names in `stages` below
#
# Reads JOBS (parallel jobs, default: all cores), PYTHON (default: python3) and CLANG (version
# of the clang packages, default: 14).
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."

# Fewer tests than this mean that a suite was not found or not collected. Raise them as it grows.
readonly cpp_floor=460
readonly python_floor=4700
readonly bare_floor=3500 # with NumPy alone

readonly jobs="${JOBS:-$(nproc)}"
readonly python="${PYTHON:-python3}"
readonly clang="${CLANG:-14}"
readonly venv="$PWD/.venv-tests"
readonly build="$PWD/build"
readonly stages=(packages style gcc clang sanitizers tidy consumers wheel stubs sdist pytest
  bare pytest_sanitized docs)

export CMAKE_GENERATOR=Ninja
export CMAKE_BUILD_PARALLEL_LEVEL="$jobs"
export PIP_DISABLE_PIP_VERSION_CHECK=1

# ---- helpers ---------------------------------------------------------------------------------

fail() {
  printf 'run_all: %s\n' "$*" >&2
  exit 1
}

# expect_schedule FILE WHAT: the demo dive's schedule, with its switch at 21 m and the caution.
expect_schedule() {
  local caution='It does not make a dive safe'
  if ! grep -Eq '^ +21 +33 .*\b50 %' "$1" || ! tr -s '[:space:]' ' ' <"$1" | grep "$caution" >/dev/null; then
    cat "$1" >&2
    fail "$2: no row that leaves 21 m at 33 min, or no caution, in what is printed above"
  fi
}

configure() { # configure NAME OPTION...
  local name="$1"
  shift
  cmake -S . -B "$build/$name" -DUPLINE_WERROR=ON --log-level=WARNING "$@"
}

# run_cpp_tests NAME: the C++ tests of one build tree; fails when too few of them ran.
run_cpp_tests() {
  local log="$build/$1/ctest.log" count
  ctest --test-dir "$build/$1" --no-tests=error --output-on-failure -j "$jobs" |
    grep -vE '^ +Start +[0-9]+:|Passed +[0-9.]+ sec$' | tee "$log"
  count="$(sed -nE 's/^.*tests (passed|failed) out of ([0-9]+)$/\2/p' "$log")" # CMake 4 | 3
  ((${count:-0} >= cpp_floor)) || fail "ctest ran ${count:-0} tests, fewer than $cpp_floor"
}

# ---- stages ----------------------------------------------------------------------------------

stage_packages() {
  local needed=("clang-$clang" "clang-format-$clang" "clang-tidy-$clang" "libclang-rt-$clang-dev"
    cmake ninja-build g++ git doxygen
    doctest-dev libboost-dev libeigen3-dev python3-dev python3-venv)
  local missing=() package
  for package in "${needed[@]}"; do
    dpkg-query -W -f '${Status}\n' "$package" 2>/dev/null | grep -q '^install ok installed$' ||
      missing+=("$package")
  done
  if ((${#missing[@]})); then
    local as_root=()
    if [[ "$(id -u)" != 0 ]]; then
      command -v sudo >/dev/null || fail "run as root: apt-get install ${missing[*]}"
      as_root=(sudo)
    fi
    "${as_root[@]}" apt-get update -q
    "${as_root[@]}" env DEBIAN_FRONTEND=noninteractive \
      apt-get install -q -y --no-install-recommends "${missing[@]}"
  fi
  [[ -x "$venv/bin/python" ]] || "$python" -m venv "$venv"
  "$venv/bin/python" -m pip install -qq --upgrade 'pip>=25.1'
  "$venv/bin/python" -m pip install -qq --group dev
}

stage_style() {
  git ls-files -co --exclude-standard cpp bindings tests docs | grep -E '\.[ch]pp$' |
    xargs "clang-format-$clang" --dry-run --Werror
  "$venv/bin/ruff" check
  "$venv/bin/ruff" format --check
  "$venv/bin/mypy"
  # Macros would reach every program that includes the headers.
  if grep -rnE '^[[:space:]]*#[[:space:]]*define\b' cpp/include; then
    fail "the public headers define a macro"
  fi
}

stage_gcc() {
  configure gcc -DCMAKE_CXX_COMPILER=g++ -DCMAKE_BUILD_TYPE=Release -DUPLINE_BUILD_BENCH=ON
  cmake --build "$build/gcc" --target all all_verify_interface_header_sets
  run_cpp_tests gcc
}

stage_clang() {
  configure clang "-DCMAKE_CXX_COMPILER=clang++-$clang" -DCMAKE_BUILD_TYPE=Release
  cmake --build "$build/clang" --target all all_verify_interface_header_sets
  run_cpp_tests clang
}

stage_sanitizers() {
  configure sanitizers "-DCMAKE_CXX_COMPILER=clang++-$clang" -DCMAKE_BUILD_TYPE=None \
    -DCMAKE_CXX_FLAGS="-O1 -g1" -DUPLINE_SANITIZE=address,undefined
  cmake --build "$build/sanitizers"
  UBSAN_OPTIONS=print_stacktrace=1 run_cpp_tests sanitizers
}

stage_tidy() {
  configure tidy "-DCMAKE_CXX_COMPILER=clang++-$clang" -DCMAKE_EXPORT_COMPILE_COMMANDS=ON \
    -DCMAKE_CXX_COMPILER_LAUNCHER= -DUPLINE_BUILD_PYTHON=ON "-DPython_EXECUTABLE=$venv/bin/python" \
    "-Dpybind11_DIR=$("$venv/bin/python" -m pybind11 --cmakedir)"
  # One source that includes every header, made by CMake for its header check; then the bindings.
  local all_headers="$build/tidy/upline_verify_interface_header_sets/upline/upline.hpp.cxx"
  [[ -f "$all_headers" ]] || fail "$all_headers is missing: has CMake changed its place?"
  printf '%s\n' "$all_headers" bindings/*.cpp |
    xargs -P "$jobs" -n 1 "clang-tidy-$clang" -p "$build/tidy" --quiet 2>&1 |
    sed '/warnings generated\.$/d' # those it keeps silent about, in other people's headers
}

stage_consumers() {
  local prefix="$build/prefix"
  rm -rf "$prefix"
  configure install -DCMAKE_CXX_COMPILER=g++ -DUPLINE_BUILD_TESTS=OFF
  cmake --install "$build/install" --prefix "$prefix" --component cpp >/dev/null
  diff <(cd cpp/include && find . -name '*.hpp' | sort) \
    <(cd "$prefix/include" && find . -name '*.hpp' ! -name version.hpp | sort) ||
    fail "the headers in cpp/include and the list in CMakeLists.txt differ"
  local kind
  for kind in find_package subdirectory; do
    local dir="$build/consumer-$kind"
    rm -rf "$dir"
    env -u CXXFLAGS cmake -S "tests/consumer/$kind" -B "$dir" -DCMAKE_CXX_COMPILER=g++ \
      -DCMAKE_PREFIX_PATH="$prefix" --log-level=WARNING
    cmake --build "$dir"
    if grep -q . "$dir/handed_on.txt"; then
      fail "upline hands on flags or macros: $(<"$dir/handed_on.txt")"
    fi
    "$dir/consumer" >"$dir/schedule.txt"
    expect_schedule "$dir/schedule.txt" "consumer by $kind"
  done
  cat "$build/consumer-find_package/schedule.txt"
}

# check_installed PYTHON_OF_A_VENV WHERE: the package found from another folder lies in WHERE, has
# the version of CMakeLists.txt, plans the demo dive on the command line and passes its self-test.
check_installed() {
  local bin found wanted
  bin="$(dirname "$1")"
  found="$(cd / && "$1" -c 'import upline; print(upline.__file__)')"
  [[ "$found" == "$2"* ]] || fail "upline is imported from $found, expected below $2"
  wanted="$(sed -n 's/^project(upline VERSION \([0-9.]*\).*/\1/p' CMakeLists.txt)"
  found="$("$1" -c 'import upline; print(upline.__version__)')"
  [[ "$found" == "$wanted" ]] || fail "upline.__version__ is $found, expected $wanted"
  "$bin/upline" plan docs/examples/quince.toml >"$build/schedule.txt"
  expect_schedule "$build/schedule.txt" "upline plan"
  (cd / && "$1" -m upline.selftest) >"$build/selftest.txt" ||
    fail "upline.selftest: $(grep -E '^differs|agree' "$build/selftest.txt")"
}

stage_wheel() {
  local install=("$venv/bin/python" -m pip install -qq --no-build-isolation --no-deps
    --force-reinstall "-Cbuild-dir=$build/pip" -Ccmake.define.UPLINE_WERROR=ON)
  "${install[@]}" --editable .
  check_installed "$venv/bin/python" "$PWD/python/"
  "${install[@]}" . # the wheel replaces the editable install; the next stages use it
  check_installed "$venv/bin/python" "$venv/"
}

# What python/upline/_core.pyi says of the compiled part is there, and what is there it says. There
# is no list of exceptions; if one is ever needed, --allowlist fails for entries that are not.
stage_stubs() {
  "$venv/bin/python" -m mypy.stubtest upline._core --mypy-config-file pyproject.toml
}

stage_sdist() {
  local fresh="$build/venv-sdist"
  rm -rf "$fresh" "$build/sdist"
  "$venv/bin/python" -m build -q --sdist --no-isolation --outdir "$build/sdist" . >/dev/null
  "$python" -m venv "$fresh"
  "$fresh/bin/python" -m pip install -qq "$build"/sdist/upline-*.tar.gz
  check_installed "$fresh/bin/python" "$fresh/"
}

# On every core: a free worker takes tests from a busy one.
readonly parallel=(-n "$jobs" --dist worksteal)

# count_tests LOG [FLOOR]: fails when too few of the Python tests ran.
count_tests() {
  local count floor="${2:-$python_floor}"
  count="$(sed -n 's/^=* *\([0-9]*\) passed.*/\1/p' "$1")"
  ((${count:-0} >= floor)) || fail "pytest ran ${count:-0} tests, fewer than $floor"
}

stage_pytest() {
  "$venv/bin/python" -m pytest "${parallel[@]}" | tee "$build/pytest.log"
  count_tests "$build/pytest.log"
  # Here everything is installed that a test may need.
  if grep -E '^=+ .*[0-9]+ skipped' "$build/pytest.log"; then fail "pytest skipped tests"; fi
}

# bytes LABEL FILE...: what they take, as lengths of files, not as blocks of this file system.
bytes() {
  printf '%-26s %8d kB\n' "$1" "$(($(du -bcs "${@:2}" | tail -n 1 | cut -f 1) / 1000))"
}

# The wheel as a file, in an environment that has NumPy and what runs the suite, and nothing else:
# what needs more says so and is skipped. What compiles C++ is left out: it says nothing about a
# wheel.
stage_bare() {
  local fresh="$build/venv-bare" site
  rm -rf "$fresh" "$build/wheels"
  "$venv/bin/python" -m pip wheel -qq --no-build-isolation --no-deps "-Cbuild-dir=$build/pip" \
    -Ccmake.define.UPLINE_WERROR=ON --wheel-dir "$build/wheels" .
  "$python" -m venv "$fresh"
  "$fresh/bin/python" -m pip install -qq "$build"/wheels/upline-*.whl
  site="$("$fresh/bin/python" -c 'import sysconfig; print(sysconfig.get_path("platlib"))')"
  bytes "wheel" "$build"/wheels/upline-*.whl
  bytes "installed" "$site"/upline "$site"/upline-*.dist-info
  bytes "of it the compiled part" "$site"/upline/_core.*.so
  bytes "of it Python's bytecode" "$site"/upline/__pycache__
  check_installed "$fresh/bin/python" "$fresh/"
  tail -n +2 "$build/selftest.txt" | grep -A 2 ' values agree'
  "$fresh/bin/python" -m pip install -qq --upgrade 'pip>=25.1'
  "$fresh/bin/python" -m pip install -qq --group bare
  local optional
  for optional in pandas matplotlib scipy mpmath CoolProp; do
    if "$fresh/bin/python" -c "import $optional" 2>/dev/null; then fail "$optional is installed"; fi
  done
  "$fresh/bin/python" -m pytest "${parallel[@]}" -m 'not cpp' | tee "$build/bare.log"
  count_tests "$build/bare.log" "$bare_floor"
}

# The Python suite with an extension that has the sanitizers in it: any report ends the process.
# The program is Python, so their runtime is loaded before it, and libstdc++ with it, whose `throw`
# the runtime looks up when it starts. Python frees little when it ends, so leaks are not looked
# for. GCC's, whose runtime is a shared library in every installation of the compiler.
stage_pytest_sanitized() {
  local dir="$build/pytest_sanitized" preload found
  configure pytest_sanitized -DCMAKE_CXX_COMPILER=g++ -DCMAKE_BUILD_TYPE=None \
    -DCMAKE_CXX_FLAGS="-O1 -g1" -DUPLINE_SANITIZE=address,undefined,float-cast-overflow \
    -DUPLINE_BUILD_TESTS=OFF -DUPLINE_BUILD_PYTHON=ON "-DPython_EXECUTABLE=$venv/bin/python" \
    "-Dpybind11_DIR=$("$venv/bin/python" -m pybind11 --cmakedir)"
  cmake --build "$dir"
  rm -rf "$dir/site"
  mkdir "$dir/site"
  cp -r python/upline "$dir/site/"
  cmake --install "$dir" --prefix "$dir/site" --component python >/dev/null
  preload="$(g++ -print-file-name=libasan.so) $(g++ -print-file-name=libstdc++.so)"
  # A report aborts: its usual exit status of 1 is that of the command line for a refused plan.
  local sanitized=(env "LD_PRELOAD=$preload" ASAN_OPTIONS=detect_leaks=0:abort_on_error=1
    UBSAN_OPTIONS=print_stacktrace=1:abort_on_error=1 "PYTHONPATH=$dir/site" "$venv/bin/python")
  found="$("${sanitized[@]}" -c 'import upline._core as core; print(core.__file__)')"
  [[ "$found" == "$dir/site/"* ]] || fail "upline._core is imported from $found, not $dir/site"
  # Capturing what Python writes, and no more, leaves the reports on standard error.
  "${sanitized[@]}" -m pytest "${parallel[@]}" -m 'not cpp' --hypothesis-profile=few \
    --capture=sys |
    tee "$dir/pytest.log"
  count_tests "$dir/pytest.log"
}

stage_docs() {
  rm -rf "$build/docs"
  "$venv/bin/python" -m sphinx -q -W --keep-going -n docs "$build/docs"
  "$venv/bin/python" tests/check_site.py "$build/docs"
}

# ---- main ------------------------------------------------------------------------------------

current=""
report_failure() {
  local status=$?
  if ((status)) && [[ -n "$current" ]]; then
    printf '\n==== %s FAILED after %d s (exit status %d)\n' "$current" $((SECONDS - began)) "$status" >&2
  fi
}
trap report_failure EXIT

if (($#)); then chosen=("$@"); else chosen=("${stages[@]}"); fi
for name in "${chosen[@]}"; do
  [[ "$(type -t "stage_$name")" == function ]] || fail "no stage $name; there are: ${stages[*]}"
done
mkdir -p "$build"
for current in "${chosen[@]}"; do
  began=$SECONDS
  printf '\n==== %s\n' "$current"
  "stage_$current"
  printf '==== %s: done in %d s\n' "$current" $((SECONDS - began))
done
current=""
printf '\nAll of: %s. %d s in all.\n' "${chosen[*]}" "$SECONDS"
