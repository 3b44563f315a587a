#pragma once
/// @file
/// @brief The words and cells of a fill.

#include <upline/blend.hpp>
#include <upline/detail/columns.hpp>
#include <upline/detail/number.hpp>
#include <upline/fill_names.hpp>
#include <upline/text.hpp>
#include <upline/version.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace upline::detail {

/// A share as per cent to one decimal.
[[nodiscard]] inline std::string share_text(double share) { return fixed(share * 100.0, 1) + " %"; }

/// A gauge that is read and set: to a tenth of a bar, or a psi.
[[nodiscard]] inline std::string reading_text(GaugePressure x, Units units) {
  const std::string text =
      units == Units::metric ? fixed(in_bar_gauge(x), 1) : fixed(in_psi_gauge(x), 0);
  return text == "-0.0" ? "0.0" : text == "-0" ? "0" : text;
}

/// Writes one blend in words.
class BlendText {
public:
  BlendText(const Blend& blend, Units units) : b_(blend), units_(units) {}

  [[nodiscard]] std::string title() const {
    const Cylinder& c = b_.order.cylinder;
    const double each = in_water_litres(c.each()) / volume_unit(units_);
    const std::string count = c.joined() == 1 ? "" : std::to_string(c.joined()) + " x ";
    return b_.order.target.spoken() + " to " + stated(b_.order.pressure) + " into " + count +
           trimmed(each, units_ == Units::metric ? 1 : 3) + " " + volume_name(units_) + " from " +
           stated(c.pressure()) + " of " + c.gas().spoken() + ", at " + degrees(c.temperature());
  }

  [[nodiscard]] std::vector<FillLine> table(const FillSheet& sheet) const {
    std::vector<FillLine> lines;
    FillLine head;
    std::copy(fill_columns.begin(), fill_columns.end(), head.begin());
    lines.push_back(head);
    const std::string unit = pressure();
    lines.push_back({"", unit, unit, unit, unit, "mol", volume_name(units_)});
    for (const Addition& one : sheet.additions)
      lines.push_back(
          {one.gas.spoken(), reading_text(one.from, units_), reading_text(one.to, units_),
           one.ideal_to ? reading_text(*one.ideal_to, units_) : "none",
           one.bank ? reading_text(*one.bank, units_) : "not stated",
           fixed(in_moles(one.amount), 1),
           fixed(in_litres(one.volume) / volume_unit(units_), units_ == Units::metric ? 0 : 1)});
    return lines;
  }

  /// What the analysis should say, and what a fill by the ideal law would give.
  [[nodiscard]] std::vector<std::string> notes(const FillSheet& sheet) const {
    std::vector<std::string> lines;
    if (sheet.additions.empty()) lines.emplace_back("Nothing is to be added.");
    std::string analysis = "The analysis should read " + range(sheet.mix.oxygen) + " oxygen and " +
                           range(sheet.mix.helium) + " helium";
    analysis += b_.order.tolerance
                    ? " (tolerance " + share_text(*b_.order.tolerance) + ", as stated)."
                    : ". No tolerance was stated: agree on one before you analyse.";
    lines.push_back(analysis);
    if (sheet.inlet) lines.push_back(inlet(*sheet.inlet, sheet));
    if (sheet.ideal_gives)
      lines.push_back("Filled to the ideal readings it would hold " +
                      share_text(sheet.ideal_gives->oxygen) + " oxygen and " +
                      share_text(sheet.ideal_gives->helium) + " helium.");
    else if (!sheet.additions.empty())
      lines.emplace_back("By the ideal law there is no such fill.");
    if (b_.order.filling_temperature)
      lines.push_back("Readings are at " + degrees(*b_.order.filling_temperature) +
                      " while it is filled; at " + degrees(b_.order.cylinder.temperature()) +
                      " it ends at " + reading_text(sheet.pressure, units_) + " " + pressure() +
                      ".");
    return lines;
  }

  [[nodiscard]] std::string verdict() const {
    if (b_.reachable()) return "It can be filled as follows.";
    return b_.alternatives.empty() ? "It cannot be filled so, and nothing near it was found."
                                   : "It cannot be filled so.";
  }

  [[nodiscard]] std::string why(const Obstacle& o) const {
    const std::string what(component_name(o.component));
    const std::string needed = share_text(o.value);
    const std::string there = share_text(o.limit);
    switch (o.code) {
    case ObstacleCode::residual_too_full:
      return "What is left fills the cylinder: there is no room for anything to be added.";
    case ObstacleCode::residual_holds_too_much:
      return "What is left holds too much " + what + ": " + needed +
             " of the full cylinder, where the target has " + there + " in all.";
    case ObstacleCode::station_lacks:
      return "No gas at hand holds enough " + what + ": what is added would need " + needed +
             ", and " + name(o) + " has " + there + ".";
    case ObstacleCode::station_holds_too_much:
      return "Every gas at hand holds too much " + what + ": what is added may have " +
             (o.value < 0.0 ? std::string("none") : needed) + ", and " + name(o) + " has " + there +
             ".";
    case ObstacleCode::no_combination:
      return "The gases at hand, in whatever amounts, do not make what has to be added: " + needed +
             " oxygen and " + there + " helium.";
    case ObstacleCode::inlet_limit:
      return "The inlet would have to carry " + needed + " oxygen, above the stated limit of " +
             there + ".";
    case ObstacleCode::bank_pressure:
      return "The bank of " + name(o) + " reads " + reading_text(bar_gauge(o.limit), units_) + " " +
             pressure() + "; it would have to fill to " + reading_text(bar_gauge(o.value), units_) +
             ".";
    }
    return "";
  }

  [[nodiscard]] std::string heading(const Alternative& one) const {
    const FillSheet& sheet = one.sheet;
    switch (one.kind) {
    case Instead::bleed:
      return "Let out gas until the gauge reads " + bled(one) +
             ", and ask again with that reading. From " + reading_text(sheet.start, units_) + " " +
             pressure() + reordered(sheet) + ":";
    case Instead::nearest_mix: return nearest(sheet);
    case Instead::other_order: return "In another order every bank stated reads enough:";
    case Instead::lower_pressure:
      return "To " + reading_text(sheet.pressure, units_) + " " + pressure() +
             " every bank stated reads enough" + reordered(sheet) + ":";
    }
    return "";
  }

  [[nodiscard]] std::vector<std::string> cautions() const {
    std::vector<std::string> lines;
    const double most = richest();
    if (most > 0.22) {
      std::string text = "Up to " + share_text(most) +
                         " oxygen flows through valve, hose and cylinder, whatever the final mix: "
                         "judge them by that. It is above the oxygen-service lines of 22 % "
                         "(EN 144-3, EN 13949)";
      if (most > 0.235) text += ", 23.5 % (gas industry, secondary source)";
      if (most > 0.25) text += ", 25 % (MIL-STD-1330 and NFPA, secondary source)";
      if (most > 0.40) text += ", 40 % (46 CFR 197.326)";
      lines.push_back(text + ".");
    }
    lines.emplace_back("Fill slowly, oxygen above all: fast filling heats the gas, and the "
                       "readings hold at the stated temperature alone (common practice, no "
                       "source for a rate).");
    lines.emplace_back("Let it mix before it is analysed; analyse what is left before you begin.");
    const auto stated_all = std::all_of(b_.order.gases.begin(), b_.order.gases.end(),
                                        [](const BankGas& one) { return one.pressure; });
    if (b_.order.method == BlendMethod::in_cylinder && !stated_all)
      lines.emplace_back("Where the bank's pressure is not stated, whether it reads enough is "
                         "unknown.");
    if (std::any_of(b_.order.gases.begin(), b_.order.gases.end(),
                    [](const BankGas& one) { return one.pressure.has_value(); }))
      lines.emplace_back("A bank is taken to keep its reading while it gives; it does not.");
    return lines;
  }

  [[nodiscard]] std::string assumptions() const {
    return "Assumptions: real gas (GERG-2008) in a rigid cylinder, air as 21 % oxygen, at "
           "rest at " +
           degrees(b_.order.cylinder.temperature()) +
           " when its gauge is read; what is below gauge 0 is counted; upline " +
           std::string(version) + ".";
  }

  [[nodiscard]] std::string whole() const {
    std::string text = wrapped("Blend: " + title(), "", "") + "\n" + wrapped(verdict(), "", "");
    for (const Obstacle& one : b_.obstacles) text += wrapped(why(one), "  ", "  ");
    if (b_.sheet) text += "\n" + shown(*b_.sheet);
    for (const Alternative& one : b_.alternatives)
      text += "\n" + wrapped("Instead: " + heading(one), "", "") + shown(one.sheet);
    text += "\nCautions\n";
    for (const std::string& one : cautions()) text += wrapped(one, "  ", "    ");
    return text + "\n" + wrapped(assumptions(), "", "") + wrapped(blending_caution, "", "") + "\n" +
           wrapped(schedule_foot, "", "");
  }

private:
  [[nodiscard]] std::string shown(const FillSheet& sheet) const {
    std::string text;
    if (!sheet.additions.empty()) {
      constexpr std::array<bool, fill_columns.size()> left{true};
      text = aligned(table(sheet), left) + "\n";
    }
    for (const std::string& one : notes(sheet)) text += wrapped(one, "  ", "  ");
    return text;
  }

  [[nodiscard]] std::string nearest(const FillSheet& sheet) const {
    std::string off;
    const auto add = [&](Component what) {
      const double points = (share_of(sheet.mix, what) - share_of(b_.order.target, what)) * 100.0;
      constexpr double nothing = 0.005;
      if (std::abs(points) < nothing) return;
      const std::string size = fixed(std::abs(points), 1);
      off += (off.empty() ? "" : " and ") + (size == "0.0" ? "under 0.1" : size) + " points " +
             (points < 0.0 ? "less " : "more ") + std::string(component_name(what));
    };
    add(Component::oxygen);
    add(Component::helium);
    return "The nearest mix at " + stated(b_.order.pressure) + " is another gas, with " + off +
           " than asked for. Plan the dive again before it is used" + reordered(sheet) + ":";
  }

  /// How far to bleed, on the side that reaches the target.
  [[nodiscard]] std::string bled(const Alternative& one) const {
    const std::string most = rounded_down(one.sheet.start) + " " + pressure();
    if (!one.keep) return most + " or less";
    constexpr double shown = 0.05; // [bar]
    if (in_bar_gauge(one.sheet.start - *one.keep) < shown)
      return reading_text(one.sheet.start, units_) + " " + pressure() +
             " exactly, because no gas at hand has what is in it";
    return reading_text(one.sheet.start, units_) + " " + pressure() + ", and no less than " +
           reading_text(*one.keep, units_);
  }

  [[nodiscard]] std::string reordered(const FillSheet& sheet) const {
    std::size_t last = 0;
    for (const Addition& one : sheet.additions) {
      std::size_t place = 0;
      while (place < b_.order.gases.size() && !(b_.order.gases[place].gas == one.gas)) ++place;
      if (place < last) return ", in another order";
      last = place;
    }
    return "";
  }

  [[nodiscard]] std::string inlet(const InletFlow& flow, const FillSheet& sheet) const {
    std::string text =
        "At the inlet: " + share_text(flow.air) + " air, " + share_text(flow.oxygen) + " oxygen";
    if (b_.order.gases.size() > 2) text += ", " + share_text(flow.helium) + " helium";
    if (!sheet.additions.empty())
      text += "; together " + share_text(sheet.additions.front().gas.fractions().oxygen) +
              " oxygen, up to " + share_text(*b_.order.inlet_limit) + " as stated";
    return text + ".";
  }

  [[nodiscard]] double richest() const {
    double most = 0.0;
    const auto look = [&](const FillSheet& sheet) {
      for (const Addition& one : sheet.additions) most = std::max(most, one.gas.fractions().oxygen);
      most = std::max(most, sheet.mix.oxygen);
    };
    if (b_.sheet) look(*b_.sheet);
    for (const Alternative& one : b_.alternatives) look(one.sheet);
    return most;
  }

  [[nodiscard]] std::string range(double share) const {
    if (!b_.order.tolerance) return share_text(share);
    const double t = *b_.order.tolerance;
    return fixed(std::max(0.0, share - t) * 100.0, 1) + " to " +
           share_text(std::min(1.0, share + t));
  }

  [[nodiscard]] std::string bank(const Addition& one) const {
    if (one.bank) return reading_text(*one.bank, units_);
    return b_.order.method == BlendMethod::at_inlet ? "compressor" : "not stated";
  }
  [[nodiscard]] static std::string name(const Obstacle& o) {
    return o.gas ? o.gas->spoken() : std::string();
  }
  [[nodiscard]] std::string pressure() const { return units_ == Units::metric ? "bar" : "psi"; }
  [[nodiscard]] std::string stated(GaugePressure x) const {
    return trimmed(units_ == Units::metric ? in_bar_gauge(x) : in_psi_gauge(x), 1) + " " +
           pressure();
  }
  [[nodiscard]] std::string rounded_down(GaugePressure x) const {
    constexpr double slack = 1e-6;
    return fixed(std::floor((units_ == Units::metric ? in_bar_gauge(x) : in_psi_gauge(x)) + slack),
                 0);
  }
  [[nodiscard]] std::string degrees(Temperature x) const {
    return units_ == Units::metric ? trimmed(in_celsius(x), 1) + " degrees C"
                                   : trimmed(in_fahrenheit(x), 1) + " degrees F";
  }

  const Blend& b_;
  Units units_;
};

} // namespace upline::detail
