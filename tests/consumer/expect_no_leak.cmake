# Checks that upline::upline hands on nothing but its headers, C++20 and its two libraries.

function(expect_property name expected)
  get_target_property(found upline::upline ${name})
  if(NOT found)
    set(found "")
  endif()
  if(NOT "${found}" STREQUAL "${expected}")
    message(FATAL_ERROR "upline::upline hands on ${name} \"${found}\", expected \"${expected}\".")
  endif()
endfunction()

function(expect_no_leak)
  foreach(name IN ITEMS COMPILE_OPTIONS COMPILE_DEFINITIONS LINK_OPTIONS LINK_DIRECTORIES
                        PRECOMPILE_HEADERS SOURCES AUTOUIC_OPTIONS)
    expect_property(INTERFACE_${name} "")
  endforeach()
  expect_property(INTERFACE_COMPILE_FEATURES cxx_std_20)
  expect_property(INTERFACE_LINK_LIBRARIES "Eigen3::Eigen;Boost::headers")
endfunction()

# Writes to handed_on.txt, one a line, every option and definition with which `target` is compiled,
# those of the libraries below upline included. Boost's package adds BOOST_ALL_NO_LIB, which only
# compilers with automatic linking heed.
function(write_handed_on target)
  set(options $<TARGET_PROPERTY:${target},COMPILE_OPTIONS>)
  set(definitions $<FILTER:$<TARGET_PROPERTY:${target},COMPILE_DEFINITIONS>,EXCLUDE,BOOST_ALL_NO_LIB>)
  file(GENERATE OUTPUT ${CMAKE_CURRENT_BINARY_DIR}/handed_on.txt
       CONTENT "$<JOIN:${options};${definitions},\n>")
endfunction()

# Settings of the embedding project that add_subdirectory(upline) must leave alone.
set(watched_settings CMAKE_BUILD_TYPE CMAKE_CXX_FLAGS CMAKE_CXX_STANDARD CMAKE_CXX_EXTENSIONS
                     CMAKE_POSITION_INDEPENDENT_CODE CMAKE_INTERPROCEDURAL_OPTIMIZATION
                     BUILD_SHARED_LIBS BUILD_TESTING)

macro(remember_settings)
  foreach(name IN LISTS watched_settings)
    set(before_${name} "${${name}}")
  endforeach()
endmacro()

function(expect_same_settings)
  foreach(name IN LISTS watched_settings)
    if(NOT "${${name}}" STREQUAL "${before_${name}}")
      message(FATAL_ERROR "upline changes ${name} of a project that embeds it.")
    endif()
  endforeach()
  foreach(name IN ITEMS COMPILE_OPTIONS COMPILE_DEFINITIONS LINK_OPTIONS INCLUDE_DIRECTORIES)
    get_directory_property(found ${name})
    if(found)
      message(FATAL_ERROR "upline sets ${name} \"${found}\" on a project that embeds it.")
    endif()
  endforeach()
endfunction()
