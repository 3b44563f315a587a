"""Count the exponentials of one exact plan of row 1.

A copy of the headers is made in which each call of a transcendental function adds to a counter;
bench_plan.cpp is compiled against it and run. Fails where the numbers written in bench_plan.cpp are
not those that were counted, or where a call in the headers was not recognised.

    python tests/bench/count_exponentials.py [compiler] [flags, such as -I/usr/include/eigen3]
"""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parents[2]

COUNTED = """#pragma once
#include <cmath>
namespace upline::counted {
inline long lanes = 0;
inline long single = 0;
inline long oxygen = 0;
inline double sixteen() { lanes += 16; return 0.0; }
inline double exp(double x) { ++single; return std::exp(x); }
inline double expm1(double x) { ++oxygen; return std::expm1(x); }
inline double log1p(double x) { ++oxygen; return std::log1p(x); }
inline double pow(double x, double y) { ++oxygen; return std::pow(x, y); }
} // namespace upline::counted
"""
FUNCTIONS = "exp|expm1|log1p|pow"


def with_counters(text: str) -> str:
    """Let every transcendental function of a header count itself."""
    text = re.sub(rf"using std::({FUNCTIONS});", r"using upline::counted::\1;", text)
    text = re.sub(rf"\bstd::({FUNCTIONS})\(", r"upline::counted::\1(", text)
    text = text.replace(".exp()", ".exp() + upline::counted::sixteen()")
    return text.replace("#pragma once", "#pragma once\n#include <upline/counted.hpp>", 1)


def copy_of_headers(folder: Path) -> None:
    """Write the counting copy, and the version header that CMake would write."""
    shutil.copytree(ROOT / "cpp" / "include", folder, dirs_exist_ok=True)
    (folder / "upline" / "counted.hpp").write_text(COUNTED, encoding="utf-8")
    template = (folder / "upline" / "version.hpp.in").read_text(encoding="utf-8")
    version = re.sub(r"@\w+@", "0.0.0", template)
    (folder / "upline" / "version.hpp").write_text(version, encoding="utf-8")
    changed = 0
    for header in folder.rglob("*.hpp"):
        if header.name == "counted.hpp":
            continue
        text = header.read_text(encoding="utf-8")
        counting = with_counters(text)
        changed += counting.count("counted::") > 0
        header.write_text(counting, encoding="utf-8")
    if not changed:
        raise SystemExit("no header calls a transcendental function: has the library moved?")


def main() -> None:
    """Compile, count, compare."""
    compiler, *flags = sys.argv[1:] or ["g++", "-I/usr/include/eigen3"]
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        copy_of_headers(folder)
        program = folder / "count"
        source = ROOT / "tests" / "bench" / "bench_plan.cpp"
        build = [compiler, "-std=c++20", "-O1", "-DUPLINE_COUNT_EXPONENTIALS", f"-I{folder}"]
        subprocess.run([*build, *flags, str(source), "-o", str(program)], check=True)
        run = subprocess.run([str(program)], check=True, capture_output=True, text=True)
    counted, written = run.stdout.splitlines()
    print(f"counted: {counted} (in rows of 16, single, of oxygen)")
    if counted != written:
        raise SystemExit(f"bench_plan.cpp says {written}; write {counted.replace(' ', ', ')}")


if __name__ == "__main__":
    main()
