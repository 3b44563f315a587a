"""The site; `python -m sphinx -W --keep-going -n docs build/docs` builds it.

From the top of the source tree, with upline and the dependency group `docs` installed, and the
Debian package doxygen.
"""

from __future__ import annotations

import logging
import os
import re
import subprocess
import sys
from pathlib import Path

from pybtex.plugin import register_plugin
from pybtex.style.formatting.plain import Style as PlainStyle
from pybtex.style.labels import BaseLabelStyle
from pybtex.style.sorting import BaseSortingStyle

ROOT = Path(__file__).parents[1]
CMAKE = (ROOT / "CMakeLists.txt").read_text(encoding="utf-8")

# ---- C++: the public headers as XML, with every public entity documented -------------------------

(ROOT / "build").mkdir(exist_ok=True)
subprocess.run(["doxygen", "docs/Doxyfile"], cwd=ROOT, check=True)
breathe_projects = {"upline": str(ROOT / "build" / "doxygen" / "xml")}
breathe_default_project = "upline"


def header_is_no_target(app, env, node, content):
    """Breathe refers to the header of every class, but makes no target of it."""
    return content if node.get("reftarget", "").endswith("_8hpp") else None


# ---- project -------------------------------------------------------------------------------------

project = "upline"
author = "the upline developers"
project_copyright = author
release = re.search(r"^project\(upline VERSION ([\d.]+)", CMAKE, re.MULTILINE)[1]
version = release

extensions = [
    "myst_nb",
    "sphinx.ext.autodoc",
    "sphinx.ext.mathjax",
    "sphinx-mathjax-offline",  # a copy of MathJax in the site: reading it needs no network
    "numpydoc",
    "sphinxcontrib.bibtex",
    "breathe",
]
exclude_patterns = ["examples"]
nitpicky = True
suppress_warnings = ["duplicate_declaration.cpp"]  # each header opens namespace upline
nitpick_ignore_regex = [
    # Other people's names, and template parameters.
    ("cpp:identifier", r"std(::.*)?|T|Dimension|size_t|dimension::.*"),
    # Attributes, which stand in the text of their class.
    ("py:obj", r"[a-z_0-9]+"),
    # The parts of the library that are not for use from outside.
    ("cpp:identifier", r"(upline::)?detail(::.*)?"),
]

mathjax3_config = {"chtml": {"scale": 0.9}}

# ---- pages ---------------------------------------------------------------------------------------

myst_enable_extensions = ["dollarmath", "colon_fence", "deflist"]
myst_heading_anchors = 3
nb_execution_mode = "force"
nb_execution_timeout = 60
nb_execution_raise_on_error = True
nb_merge_streams = True

# The kernel starts from this profile alone, whatever the person who builds has: plots as drawings,
# errors without the path through the library, no word about the socket it listens on.
PROFILE = ROOT / "build" / "ipython" / "profile_default"
PROFILE.mkdir(parents=True, exist_ok=True)
(PROFILE / "ipython_kernel_config.py").write_text(
    """c = get_config()
c.InlineBackend.figure_formats = {"svg"}
c.InteractiveShell.xmode = "Minimal"
c.IPKernelApp.log_level = "ERROR"
""",
    encoding="utf-8",
)
os.environ["IPYTHONDIR"] = str(PROFILE.parent)
# The pages run the command `upline` of the package that is documented.
os.environ["PATH"] = os.pathsep.join([str(Path(sys.executable).parent), os.environ["PATH"]])
logging.getLogger("traitlets").setLevel(logging.WARNING)

# ---- Python: docstrings say the types, so signatures need not ------------------------------------

autodoc_typehints = "none"
numpydoc_show_class_members = False
numpydoc_xref_param_type = False
default_role = "autolink"  # of autosummary: a link where the name is one of ours


def link_the_theory(app, what, name, obj, options, lines):
    """Docstrings name the page by its place in the source tree."""
    lines[:] = [line.replace("docs/theory.md", ":doc:`the theory </theory>`") for line in lines]


def leave_out_self(app, what, name, obj, options, signature, returned):
    """Signatures of compiled methods are read from their docstrings, which say it."""
    if signature and signature.startswith("(self"):
        return re.sub(r"^\(self(, )?", "(", signature), returned
    return None


# ---- bibliography: labels are the keys, because headers and tables of values cite by key ---------


class KeyLabels(BaseLabelStyle):
    """Labels that are the keys themselves."""

    def format_labels(self, sorted_entries):
        return [entry.key for entry in sorted_entries]


class KeyOrder(BaseSortingStyle):
    """By key."""

    def sorting_key(self, entry):
        return entry.key


class KeyStyle(PlainStyle):
    """The plain style, with these labels in this order."""

    default_label_style = KeyLabels
    default_sorting_style = KeyOrder


register_plugin("pybtex.style.formatting", "keys", KeyStyle)
bibtex_bibfiles = ["references.bib"]
bibtex_default_style = "keys"
bibtex_reference_style = "label"

# ---- look ----------------------------------------------------------------------------------------

html_theme = "furo"
pygments_dark_style = "github-dark"
html_title = f"upline {release}"
html_static_path = ["_static"]
html_css_files = ["site.css"]
html_theme_options = {
    f"{mode}_css_variables": {
        "color-brand-primary": brand,
        "color-brand-content": brand,
        "color-brand-visited": brand,
        "color-api-name": name,
        "color-api-pre-name": name,
    }
    for mode, brand, name in (("light", "#0f5b6b", "#1b2a30"), ("dark", "#7cc4d4", "#e6edf0"))
}
html_copy_source = False
html_show_sourcelink = False
html_show_copyright = False
html_show_sphinx = False


def setup(app):
    app.connect("missing-reference", header_is_no_target)
    app.connect("autodoc-process-docstring", link_the_theory)
    app.connect("autodoc-process-signature", leave_out_self)
