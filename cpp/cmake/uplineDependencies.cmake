# The libraries that upline's headers include. Read by the project's own CMakeLists.txt and by
# the installed package, so that versions and remedies are stated once.
#
# Defines Eigen3::Eigen and Boost::headers, or sets upline_missing to one sentence.

set(upline_missing "")

# A cmeel wheel in a Python build environment keeps its prefix one level below site-packages,
# which scikit-build-core puts in CMAKE_PREFIX_PATH. Elsewhere these hints are empty paths.
list(TRANSFORM CMAKE_PREFIX_PATH APPEND "/cmeel.prefix" OUTPUT_VARIABLE upline_wheel_prefixes)

find_package(Eigen3 3.4 CONFIG QUIET HINTS ${upline_wheel_prefixes})
find_package(Boost 1.74 CONFIG QUIET HINTS ${upline_wheel_prefixes}) # Boost.Math

if(NOT Eigen3_FOUND)
  set(upline_missing "upline needs the headers of Eigen 3.4: install the Debian package \
libeigen3-dev, or give CMake -DEigen3_DIR=<folder of Eigen3Config.cmake>.")
elseif(NOT Boost_FOUND)
  set(upline_missing "upline needs the headers of Boost 1.74 or newer: install the Debian package \
libboost-dev, or give CMake -DBoost_DIR=<folder of BoostConfig.cmake>.")
endif()
