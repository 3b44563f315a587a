#include "dive.hpp"

#include "arguments.hpp"
#include "results.hpp"

#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace upline::python {
namespace {

/// Reads the arguments of plan(), one field of the dive or of the rules after the other.
class Reader {
public:
  explicit Reader(const py::args& given)
      : given_(given), units_(units_of(argument(Argument::units))) {
    if (given.size() != static_cast<std::size_t>(Argument::count))
      throw py::type_error("the compiled part and the Python part of upline do not fit together");
  }

  /// Throws where a mix stands in the place of a number: by position the depth comes first.
  void require_order() const {
    refuse_mix(argument(Argument::depth), "depth", "one number, or levels");
    refuse_mix(argument(Argument::bottom_time), "bottom_time", "one number [min]");
  }

  [[nodiscard]] Rules rules() const {
    const GradientFactors factors = factors_of();
    Rules r = units_ == Units::imperial ? Rules::imperial(factors) : Rules{.factors = factors};
    r.model = text(argument(Argument::model), "model", "the name of a parameter set",
                   "choose a name from upline.models");
    r.rounding = rounding();
    r.resolution = minutes(required(Argument::resolution, "resolution", "min"));
    r.min_stop = minutes(required(Argument::min_stop, "min_stop", "min"));
    r.switch_time = minutes(required(Argument::switch_time, "switch_time", "min"));
    read_ladder(r.ladder);
    read_rates(r);
    r.max_po2 = bar(required(Argument::max_po2, "max_po2", "bar"));
    r.max_deco_po2 = bar(required(Argument::max_deco_po2, "max_deco_po2", "bar"));
    r.po2_tolerance = bar(required(Argument::po2_tolerance, "po2_tolerance", "bar"));
    r.min_po2 = bar(required(Argument::min_po2, "min_po2", "bar"));
    r.rmv = breathing(Argument::rmv, "rmv");
    r.deco_rmv = breathing(Argument::deco_rmv, "deco_rmv");
    return r;
  }

  [[nodiscard]] Dive dive(std::vector<Level> levels) const {
    Dive d;
    d.levels = std::move(levels);
    d.gases = gases();
    if (stated(Argument::travel)) d.travel = travel();
    d.environment = environment_of(argument(Argument::environment), units_);
    if (stated(Argument::start)) d.start = start();
    return d;
  }

  [[nodiscard]] std::vector<Level> levels() const {
    const py::handle depth = argument(Argument::depth);
    if (is_sequence(depth)) return levels_of(depth);
    const Depth bottom = depth_of(depth, "depth", units_);
    if (!stated(Argument::bottom_time))
      throw InvalidInput("bottom_time", "missing", "minutes from leaving the surface",
                         "give the run time at which the bottom is left");
    return {{bottom, minutes(required(Argument::bottom_time, "bottom_time", "min"))}};
  }

  [[nodiscard]] std::vector<Level> bottom_without_time() const {
    return {{depth_of(argument(Argument::depth), "depth", units_), minutes(0.0)}};
  }

private:
  /// Whether a value can only be meant as a mix. "57" may be a depth in quotes.
  [[nodiscard]] static bool is_mix(py::handle value) {
    if (is_a<Gas>(value)) return true;
    constexpr Py_ssize_t longest = 200;
    if (!PyUnicode_Check(value.ptr()) || PyUnicode_GetLength(value.ptr()) > longest) return false;
    Py_ssize_t size = 0;
    const char* bytes = PyUnicode_AsUTF8AndSize(value.ptr(), &size);
    if (bytes == nullptr) { // half of a character
      PyErr_Clear();
      return false;
    }
    const std::string_view typed(bytes, static_cast<std::size_t>(size));
    const bool only_a_number = typed.find_first_not_of("0123456789.,% ") == std::string_view::npos;
    return !only_a_number && (detail::names_a_mix(typed) || !detail::several_mixes(typed).empty());
  }

  static void refuse_mix(py::handle value, const char* field, const char* allowed) {
    const char* remedy = "give the depth first, then the bottom time, and the gases by name: "
                         "gases=[\"18/45\", \"50\", \"O2\"]";
    if (is_mix(value)) throw WrongType(field, shown(value), allowed, remedy);
    if (!is_sequence(value)) return;
    const auto parts = items(value, field, allowed, remedy);
    if (!parts.empty() && is_mix(parts.front()))
      throw WrongType(field, "a list of mixes", allowed, remedy);
  }

  [[nodiscard]] py::handle argument(Argument which) const {
    return given_[static_cast<std::size_t>(which)].ptr();
  }
  [[nodiscard]] bool stated(Argument which) const { return !argument(which).is_none(); }
  [[nodiscard]] double required(Argument which, const char* field, const char* unit) const {
    return number(argument(which), field, unit);
  }

  [[nodiscard]] GradientFactors factors_of() const {
    const py::handle gf = argument(Argument::gf);
    const char* allowed = "\"low/high\" in per cent, or a pair of fractions";
    const char* remedy = "write gf=\"40/80\" or gf=(0.40, 0.80)";
    if (gf.is_none())
      throw InvalidInput("gf", "missing", allowed,
                         "choose the gradient factors, such as gf=\"40/80\"; they decide how long "
                         "the ascent is, so there is no default");
    if (PyUnicode_Check(gf.ptr())) return GradientFactors::parse(text(gf, "gf", allowed, remedy));
    const auto pair = items(gf, "gf", allowed, remedy);
    if (pair.size() != 2)
      throw InvalidInput("gf", std::to_string(pair.size()) + " items", allowed, remedy);
    return {number(pair[0], "gf", "fraction"), number(pair[1], "gf", "fraction")};
  }

  [[nodiscard]] Rounding rounding() const {
    constexpr std::array<Rounding, 3> kinds{Rounding::departure, Rounding::duration,
                                            Rounding::exact};
    return kinds[choice(argument(Argument::rounding), "rounding",
                        {"departure", "duration", "exact"})];
  }

  void read_ladder(Ladder& ladder) const {
    if (stated(Argument::spacing))
      ladder.spacing = depth_of(argument(Argument::spacing), "spacing", units_);
    if (stated(Argument::last_stop))
      ladder.last_stop = depth_of(argument(Argument::last_stop), "last_stop", units_);
    if (!stated(Argument::ladder)) return;
    if (stated(Argument::spacing) || stated(Argument::last_stop))
      throw InvalidInput("ladder", "given beside spacing or last_stop", "one way to say the rungs",
                         "leave out spacing and last_stop, or the ladder");
    const char* remedy = "give every depth at which the ascent may pause, such as [21, 12, 6]";
    const auto rungs = items(argument(Argument::ladder), "ladder", "a list of depths", remedy);
    if (rungs.empty()) throw InvalidInput("ladder", "an empty list", "1 to 1000 rungs", remedy);
    for (const py::object& rung : rungs) ladder.rungs.push_back(depth_of(rung, "ladder", units_));
  }

  void read_rates(Rules& r) const {
    if (stated(Argument::descent_rate))
      r.descent_rate = rate_of(argument(Argument::descent_rate), "descent_rate", units_);
    if (stated(Argument::surfacing_rate))
      r.surfacing_rate = rate_of(argument(Argument::surfacing_rate), "surfacing_rate", units_);
    const py::handle ascent = argument(Argument::ascent_rate);
    if (!stated(Argument::ascent_rate)) return;
    if (!is_sequence(ascent)) {
      r.ascent_rates = {{metres(0.0), rate_of(ascent, "ascent_rate", units_)}};
      return;
    }
    const char* allowed = "one rate, or (deeper than, rate) pairs";
    const char* remedy = "write 9, or [(21, 9), (6, 6), (0, 3)]";
    r.ascent_rates.clear();
    for (const py::object& zone : items(ascent, "ascent_rate", allowed, remedy)) {
      const auto pair = pair_of(zone, "ascent_rate", allowed, remedy);
      r.ascent_rates.push_back({depth_of(pair.first, "ascent_rate border", units_),
                                rate_of(pair.second, "ascent_rate", units_)});
    }
  }

  [[nodiscard]] std::optional<BreathingRate> breathing(Argument which, const char* field) const {
    if (!stated(which)) return {};
    const char* unit = units_ == Units::metric ? "L/min" : "cu ft/min";
    return BreathingRate(required(which, field, unit) * volume_unit(units_));
  }

  [[nodiscard]] std::vector<Level> levels_of(py::handle value) const {
    const char* allowed = "a depth, or a list of (depth, run time at which it is left)";
    const char* remedy = "write 57 with a bottom time, or [(57, 20), (42, 45)]";
    if (stated(Argument::bottom_time))
      throw InvalidInput("bottom_time", "given beside levels", "levels alone, or depth and time",
                         "leave out bottom_time: the last level says when the bottom is left");
    std::vector<Level> levels;
    for (const py::object& level : items(value, "depth", allowed, remedy)) {
      const auto pair = pair_of(level, "depth", allowed, remedy);
      levels.push_back({depth_of(pair.first, "depth", units_),
                        minutes(number(pair.second, "bottom_time", "min"))});
    }
    return levels;
  }

  [[nodiscard]] std::vector<GasChoice> gases() const {
    const py::handle value = argument(Argument::gases);
    if (value.is_none())
      throw InvalidInput("gases", "missing", "a list of mixes, the bottom gas first",
                         "write gases=[\"18/45\", \"50\", \"O2\"]");
    if (!is_sequence(value)) return {gas_choice_of(value, units_)};
    std::vector<GasChoice> gases;
    for (const py::object& one : items(value, "gases", "1 to 20 mixes, the bottom gas first",
                                       "write [\"18/45\", \"50\", \"O2\"]"))
      gases.push_back(gas_choice_of(one, units_));
    return gases;
  }

  [[nodiscard]] TravelGas travel() const {
    const auto pair = pair_of(argument(Argument::travel), "travel",
                              "a pair of a mix and the depth at which the bottom gas is taken up",
                              "write travel=(\"50\", 17)");
    return {gas_of(pair.first, "travel"), depth_of(pair.second, "travel", units_)};
  }

  [[nodiscard]] State start() const {
    const py::handle value = argument(Argument::start);
    if (!is_a<State>(value))
      throw WrongType("start", shown(value), "a State or None",
                      "hand on upline.rest(plan.end, minutes)");
    return value.cast<const State&>();
  }

  [[nodiscard]] static std::pair<py::object, py::object>
  pair_of(py::handle value, const char* field, const char* allowed, const char* remedy) {
    auto parts = items(value, field, allowed, remedy);
    if (parts.size() != 2)
      throw InvalidInput(field, std::to_string(parts.size()) + " items", allowed, remedy);
    return {std::move(parts[0]), std::move(parts[1])};
  }

  const py::args& given_;
  Units units_;
};

/// Writes the arguments that read as this dive and these rules.
class Writer {
public:
  explicit Writer(const Plan& plan) : dive_(plan.dive), rules_(plan.rules) {}

  [[nodiscard]] py::dict arguments() const {
    py::dict a;
    write_levels(a);
    a["gases"] = gases();
    a["gf"] = py::make_tuple(rules_.factors.low(), rules_.factors.high());
    a["model"] = rules_.model;
    a["rounding"] = rounding();
    a["resolution"] = in_minutes(rules_.resolution);
    a["min_stop"] = in_minutes(rules_.min_stop);
    a["switch_time"] = in_minutes(rules_.switch_time);
    write_ladder(a);
    write_rates(a);
    a["travel"] = travel();
    a["environment"] = StatedEnvironment{dive_.environment, rules_.units};
    a["start"] = dive_.start ? py::cast(*dive_.start) : py::none();
    a["max_po2"] = in_bar(rules_.max_po2);
    a["max_deco_po2"] = in_bar(rules_.max_deco_po2);
    a["po2_tolerance"] = in_bar(rules_.po2_tolerance);
    a["min_po2"] = in_bar(rules_.min_po2);
    a["rmv"] = breathing(rules_.rmv);
    a["deco_rmv"] = breathing(rules_.deco_rmv);
    a["units"] = units_name(rules_.units);
    return a;
  }

private:
  [[nodiscard]] double length(double base) const {
    return given_in(base, length_unit(rules_.units));
  }
  [[nodiscard]] double length(Depth depth) const { return length(in_metres(depth)); }

  void write_levels(py::dict& a) const {
    if (dive_.levels.size() == 1) {
      a["depth"] = length(dive_.levels.front().depth);
      a["bottom_time"] = in_minutes(dive_.levels.front().leave_at);
      return;
    }
    py::list levels;
    for (const Level& level : dive_.levels)
      levels.append(py::make_tuple(length(level.depth), in_minutes(level.leave_at)));
    a["depth"] = levels;
    a["bottom_time"] = py::none();
  }

  [[nodiscard]] py::list gases() const {
    py::list gases;
    for (const GasChoice& choice : dive_.gases) {
      if (choice.switch_depth)
        gases.append(py::make_tuple(choice.gas, length(*choice.switch_depth)));
      else
        gases.append(choice.gas);
    }
    return gases;
  }

  [[nodiscard]] const char* rounding() const {
    switch (rules_.rounding) {
    case Rounding::departure: return "departure";
    case Rounding::duration: return "duration";
    case Rounding::exact: return "exact";
    }
    return "";
  }

  void write_ladder(py::dict& a) const {
    const bool listed = !rules_.ladder.rungs.empty();
    a["spacing"] = listed ? py::object(py::none()) : py::float_(length(rules_.ladder.spacing));
    a["last_stop"] = listed ? py::object(py::none()) : py::float_(length(rules_.ladder.last_stop));
    if (!listed) {
      a["ladder"] = py::none();
      return;
    }
    py::list rungs;
    for (const Depth rung : rules_.ladder.rungs) rungs.append(length(rung));
    a["ladder"] = rungs;
  }

  void write_rates(py::dict& a) const {
    a["descent_rate"] = length(rules_.descent_rate.base());
    py::list zones;
    for (const RateZone& zone : rules_.ascent_rates)
      zones.append(py::make_tuple(length(zone.deeper_than), length(zone.rate.base())));
    a["ascent_rate"] = zones;
    a["surfacing_rate"] = rules_.surfacing_rate
                              ? py::object(py::float_(length(rules_.surfacing_rate->base())))
                              : py::none();
  }

  [[nodiscard]] py::object travel() const {
    if (!dive_.travel) return py::none();
    return py::make_tuple(dive_.travel->gas, length(dive_.travel->to));
  }

  [[nodiscard]] py::object breathing(const std::optional<BreathingRate>& rate) const {
    if (!rate) return py::none();
    return py::float_(given_in(rate->base(), volume_unit(rules_.units)));
  }

  const Dive& dive_;
  const Rules& rules_;
};

} // namespace

Asked asked_by(const py::args& given) {
  const Reader read(given);
  read.require_order();
  Rules rules = read.rules();
  return {read.dive(read.levels()), std::move(rules)};
}

Asked asked_without_time(const py::args& given) {
  const Reader read(given);
  read.require_order();
  Rules rules = read.rules();
  return {read.dive(read.bottom_without_time()), std::move(rules)};
}

py::dict arguments_of(const Plan& plan) { return Writer(plan).arguments(); }

} // namespace upline::python
