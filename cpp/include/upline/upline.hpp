#pragma once
/// @file
/// @brief Everything: decompression schedules for dives on several gases.

#include <upline/ascent.hpp>
#include <upline/caution.hpp>
#include <upline/compartments.hpp>
#include <upline/dive.hpp>
#include <upline/environment.hpp>
#include <upline/error.hpp>
#include <upline/gas.hpp>
#include <upline/ladder.hpp>
#include <upline/lanes.hpp>
#include <upline/limit.hpp>
#include <upline/no_stop.hpp>
#include <upline/oxygen.hpp>
#include <upline/plan.hpp>
#include <upline/schedule.hpp>
#include <upline/state.hpp>
#include <upline/text.hpp>
#include <upline/tissue.hpp>
#include <upline/trace.hpp>
#include <upline/units.hpp>
#include <upline/version.hpp>
