#pragma once
/// @file
/// @brief A slate in words and cells: narrow, plain text for engraving, and its parts for a page.

#include <upline/caution.hpp>
#include <upline/contingency_text.hpp>
#include <upline/detail/columns.hpp>
#include <upline/slate.hpp>
#include <upline/text.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace upline {

/// @brief What stands on either side of every slate.
inline constexpr std::string_view slate_caution =
    "MODEL ONLY, NO GUARANTEE. TRAINED TEAM ONLY. THIS DIVE, THIS DATE.";

/// @brief What stands under several rows.
inline constexpr std::string_view slate_rule = "Between two rows take the deeper and the longer.";

/// @brief How the numbers of a slate are read.
inline constexpr std::string_view slate_legend = "Run times; stay includes the travel.";

/// @brief A line of the front: depth, leave at, stay, breathe.
using SlateLine = std::array<std::string, 4>;

/// @brief A contingency in words and cells.
struct SlateBlock {
  std::string title{};                 ///< "If 5 min late: to 57 m, leaving by 30 min"
  std::vector<std::string> depths{};   ///< Of the stops; none where nothing may be cut,
  std::vector<std::string> leaves{};   ///< and when each is left.
  std::string words{};                 ///< Surface and switches; or why there are no times.
  std::vector<std::string> cautions{}; ///< A sentence each.
};

/// @brief A line of the gases: mix, reading, depth.
using SlateGasLine = std::array<std::string, 3>;

namespace detail {

/// Writes one slate in words.
class SlateText {
public:
  /// Most characters of a line of the text.
  static constexpr std::size_t width = 40;

  explicit SlateText(const Slate& slate)
      : s_(slate), plan_(slate.schedule.plan), units_(plan_.rules.units) {}

  // ---- front -----------------------------------------------------------------------------------

  /// Dive, date and divers; what is not said is left to be filled in.
  [[nodiscard]] std::array<std::string, 3> heading() const {
    const auto filled = [](const std::string& text, const char* name) {
      return text.empty() ? std::string(name) + " " + std::string(20, '_') : text;
    };
    return {filled(s_.said.dive, "Dive"), filled(s_.said.date, "Date"),
            filled(s_.said.team, "Team")};
  }

  [[nodiscard]] std::string valid() const { return "Valid " + reach(s_.schedule, " and leaving"); }

  /// How the dive begins where it does not begin on the bottom gas; empty else.
  [[nodiscard]] std::string way_down() const {
    return plan_.dive.travel ? "Go down on " + name(plan_.dive.travel->gas) + "." : "";
  }

  /// The names of the columns, their units, the lines, and the surface.
  [[nodiscard]] std::vector<SlateLine> table() const {
    std::vector<SlateLine> lines{{"depth", "leave at", "stay", "breathe"},
                                 {length_name(units_), "min", "min", ""}};
    const auto minutes_of = [](const std::optional<long>& x) {
      return x ? std::to_string(*x) : std::string();
    };
    for (const SlateRow& row : s_.schedule.rows)
      lines.push_back({number(row.depth), minutes_of(row.leave_at), minutes_of(row.stay),
                       (row.switching ? "SWITCH to " : "") + name(row.gas)});
    lines.push_back({"0", std::to_string(s_.schedule.surface), "", "surface"});
    return lines;
  }

  /// Pressures, or where to write them.
  [[nodiscard]] std::array<std::string, 2> pressures() const {
    return {pressure("Turn pressure", s_.said.turn_pressure), pressure("Reserve", s_.said.reserve)};
  }

  // ---- back ------------------------------------------------------------------------------------

  [[nodiscard]] std::vector<SlateBlock> blocks() const {
    std::vector<SlateBlock> found;
    for (const SlateContingency& one : s_.contingencies) found.push_back(block(one));
    return found;
  }

  /// The names of the columns, then a line for each mix.
  [[nodiscard]] std::vector<SlateGasLine> gases() const {
    std::vector<SlateGasLine> lines{{"mix", "analysed", "MOD"}};
    for (const SlateGas& one : s_.gases)
      lines.push_back({name(one.gas), analysed(one),
                       std::to_string(one.deepest) + " " + length_name(units_) + " (" +
                           fixed(one.po2, 2) + " bar)"});
    return lines;
  }

  /// Where the dive, its rules and its surroundings are told, a sentence each.
  [[nodiscard]] std::vector<std::string> facts() const {
    std::vector<std::string> lines;
    for (const SlateGas& one : s_.gases)
      if (one.shallowest > 0)
        lines.push_back(name(one.gas) + ": not above " + std::to_string(one.shallowest) + " " +
                        length_name(units_) + ".");
    const PlanText words(plan_);
    const Rules& rules = plan_.rules;
    lines.push_back("Gradient factors " + rules.factors.text() + ", " + rules.model + ".");
    lines.push_back(capital(words.rates()) + ".");
    lines.push_back(capital(words.ladder()) + ".");
    lines.push_back(rules.switch_time > Minutes()
                        ? duration_text(in_minutes(rules.switch_time)) +
                              " at each switch on the old gas, inside the times."
                        : "No time is counted for a switch.");
    lines.push_back("Depths and surface: " + words.depths_and_surface() + ".");
    lines.emplace_back(plan_.dive.start ? "Repeat dive: load and oxygen of earlier dives counted."
                                        : "First dive: none in the last 24 h.");
    lines.push_back(std::string("Surface support: ") + support() + ".");
    lines.emplace_back(s_.schedule.recomputed
                           ? "Computed again in whole minutes; no stop is shorter than planned."
                           : "Whole minutes, as planned.");
    if (!s_.contingencies.empty())
      lines.emplace_back(
          "Other rows: computed as if known on leaving the bottom; their gas is not checked.");
    return lines;
  }

  /// Those of the schedule, a sentence each.
  [[nodiscard]] std::vector<std::string> cautions() const {
    std::vector<std::string> lines;
    for (const Caution& caution : plan_.cautions) lines.push_back(in_short(caution));
    return lines;
  }

  /// Where people sign, and what the numbers can be found again by.
  [[nodiscard]] std::vector<std::string> signatures() const {
    std::vector<std::string> lines{"Made by " + std::string(20, '_'),
                                   "Checked by " + std::string(20, '_')};
    if (!s_.said.input_code.empty()) lines.push_back("Input code " + s_.said.input_code);
    lines.push_back("upline " + plan_.version);
    return lines;
  }

  // ---- the whole -------------------------------------------------------------------------------

  [[nodiscard]] std::string front() const {
    std::string text = "FRONT\n";
    for (const std::string& line : heading()) text += narrow(line);
    text += "\n" + narrow(valid());
    if (!way_down().empty()) text += narrow(way_down());
    text += "\n" + grid() + "\n" + narrow(slate_legend);
    for (const std::string& line : pressures()) text += narrow(line);
    return text + "\n" + narrow(slate_caution);
  }

  [[nodiscard]] std::string back() const {
    std::string text = "BACK\n";
    for (const SlateBlock& one : blocks()) text += in_lines(one) + "\n";
    if (!s_.contingencies.empty()) text += narrow(slate_rule) + "\n";
    text += aligned(gases(), std::array{true, true, true}) + "\n";
    for (const std::string& line : facts()) text += narrow(line);
    text += "\nCautions\n";
    for (const std::string& line : cautions()) text += narrow("- " + line);
    text += "\n";
    for (const std::string& line : signatures()) text += narrow(line);
    return text + "\n" + narrow(slate_caution) + "\n" + narrow(no_time_to_fly) +
           narrow(schedule_foot);
  }

  [[nodiscard]] std::string whole() const { return front() + "\n" + back(); }

private:
  [[nodiscard]] std::string number(Depth d) const { return trimmed(depth_in(d, units_), 2); }

  [[nodiscard]] static std::string capital(std::string text) {
    if (!text.empty() && text.front() >= 'a' && text.front() <= 'z')
      text.front() = static_cast<char>(text.front() - 'a' + 'A');
    return text;
  }

  /// A mix in at most nine characters, unless two of the dive would look the same.
  [[nodiscard]] std::string name(const Gas& gas) const {
    constexpr std::size_t longest = 9;
    if (gas.spoken().size() <= longest) return gas.spoken();
    const std::string mine = short_name(gas);
    const auto& gases = s_.gases;
    const bool clear = std::none_of(gases.begin(), gases.end(), [&](const SlateGas& other) {
      return !(other.gas == gas) && short_name(other.gas) == mine;
    });
    return clear ? mine : gas.spoken();
  }
  [[nodiscard]] static std::string short_name(const Gas& gas) {
    const auto percent = [](double x) { return trimmed(x * 100.0, 1); };
    return gas.helium > 0.0 ? percent(gas.oxygen) + "/" + percent(gas.helium)
                            : percent(gas.oxygen) + " %";
  }

  /// "to 57 m and leaving by 25 min"; of several levels the last is the one that is left.
  [[nodiscard]] std::string reach(const SlateSchedule& one, const char* leaving) const {
    std::string text = "to " + std::to_string(one.valid_to) + " " + length_name(units_) + leaving;
    const Depth bottom = one.plan.dive.levels.back().depth;
    if (whole_down(bottom, units_) != one.valid_to)
      text += " " + number(bottom) + " " + length_name(units_);
    return text + " by " + std::to_string(one.leave_by) + " min";
  }

  /// Rounded up: nobody turns too late by it.
  [[nodiscard]] std::string pressure(const char* what, const std::optional<Pressure>& value) const {
    const bool metric = units_ == Units::metric;
    std::string text = std::string(what) + ", " + name(plan_.dive.gases.front().gas) + ": ";
    if (value)
      text += fixed(std::ceil((metric ? in_bar(*value) : in_psi(*value)) - 1e-6), 0);
    else
      text += std::string(8, '_');
    return text + (metric ? " bar" : " psi");
  }

  [[nodiscard]] SlateBlock block(const SlateContingency& one) const {
    const std::string title = capital(deviation_name(one.what, units_));
    if (!one.schedule) return {.title = title, .words = "No schedule: " + why_not(one.reason)};
    SlateBlock found{.title = title + ": " + reach(*one.schedule, ", leaving")};
    const auto& rows = one.schedule->rows;
    for (std::size_t j = one.schedule->bottom + 1; j < rows.size(); ++j) {
      found.depths.push_back(number(rows[j].depth));
      found.leaves.push_back(std::to_string(rows[j].leave_at.value_or(0)));
    }
    found.words =
        "Surface at " + std::to_string(one.schedule->surface) + ". " + switches(*one.schedule);
    for (const Caution& caution : one.cautions)
      if (caution.severity == Severity::caution) found.cautions.push_back(in_short(caution));
    return found;
  }

  [[nodiscard]] std::string switches(const SlateSchedule& one) const {
    std::string text;
    const auto& rows = one.rows;
    for (std::size_t j = one.bottom + 1; j < rows.size(); ++j)
      if (rows[j].switching)
        text += (text.empty() ? "SWITCH at " : ", at ") + number(rows[j].depth) + " " +
                length_name(units_) + " to " + name(rows[j].gas);
    return (text.empty() ? "All the way on " + name(rows[one.bottom].gas) : text) + ".";
  }

  /// Without what an error says about remedies.
  [[nodiscard]] static std::string why_not(const std::string& reason) {
    std::string text =
        reason.substr(0, std::min(reason.find("; allowed:"), reason.find(" Remedy:")));
    if (!text.empty() && text.back() != '.') text += '.';
    return text;
  }

  [[nodiscard]] std::string in_short(const Caution& caution) const {
    return first_sentence(caution_text(caution, units_));
  }

  [[nodiscard]] static std::string analysed(const SlateGas& one) {
    const bool mixed = one.gas.helium > 0.0;
    const auto percent = [](double x) { return trimmed(x * 100.0, 1); };
    const std::string blank = "____";
    if (!one.reading) return mixed ? blank + "/" + blank : blank;
    std::string text = percent(one.reading->oxygen);
    if (one.reading->helium) return text + "/" + percent(*one.reading->helium);
    return mixed ? text + "/" + blank : text;
  }

  [[nodiscard]] const char* support() const {
    switch (s_.said.surface_support) {
    case SurfaceSupport::yes: return "yes";
    case SurfaceSupport::no: return "no";
    case SurfaceSupport::unknown: break;
    }
    return "unknown";
  }

  // ---- narrow text -----------------------------------------------------------------------------

  /// Broken at blanks; a word longer than a line is broken anywhere.
  [[nodiscard]] static std::string narrow(std::string_view text) {
    std::string pieces;
    std::size_t run = 0;
    for (const char c : text) {
      run = c == ' ' ? 0 : run + 1;
      if (run > width) {
        pieces += ' ';
        run = 1;
      }
      pieces += c;
    }
    return wrapped(pieces, "", "", width);
  }

  /// Numbers stand right, mixes left.
  [[nodiscard]] std::string grid() const {
    const std::vector<SlateLine> lines = table();
    std::array<std::size_t, 4> widths{};
    for (const SlateLine& line : lines)
      for (std::size_t j = 0; j < line.size(); ++j) widths[j] = std::max(widths[j], line[j].size());
    const std::size_t all = widths[0] + widths[1] + widths[2] + widths[3];
    const std::size_t gap = all + 7 <= width ? 2 : 1; // and one more before the mixes
    std::string text;
    for (const SlateLine& line : lines) {
      std::string row;
      for (std::size_t j = 0; j < 3; ++j)
        row += std::string((j > 0 ? gap : 0) + widths[j] - line[j].size(), ' ') + line[j];
      row += std::string(gap + 1, ' ') + line[3];
      row.erase(row.find_last_not_of(' ') + 1);
      text += row + "\n";
    }
    return text;
  }

  /// As many stops beside one another as the width holds; depths above, times below.
  [[nodiscard]] std::string in_lines(const SlateBlock& one) const {
    std::string text = narrow(one.title);
    std::size_t cell = 0;
    for (const auto* cells : {&one.depths, &one.leaves})
      for (const std::string& x : *cells) cell = std::max(cell, x.size() + 1);
    const std::array<std::string, 2> names{"depth " + std::string(length_name(units_)), "leave at"};
    const std::size_t across = cell > 0 ? std::max<std::size_t>(1, (width - 8) / cell) : 1;
    for (std::size_t j = 0; j < one.depths.size(); j += across) {
      const std::size_t end = std::min(one.depths.size(), j + across);
      for (const auto* cells : {&one.depths, &one.leaves}) {
        std::string line = names[cells == &one.depths ? 0 : 1];
        line.resize(8, ' ');
        for (std::size_t k = j; k < end; ++k)
          line += std::string(cell - (*cells)[k].size(), ' ') + (*cells)[k];
        text += line + "\n";
      }
    }
    text += narrow(one.words);
    for (const std::string& line : one.cautions) text += narrow("- " + line);
    return text;
  }

  const Slate& s_;
  const Plan& plan_;
  Units units_;
};

} // namespace detail

/// @brief The whole slate as plain text, no line wider than 40 characters: the front, then the
/// back.
[[nodiscard]] inline std::string slate_text(const Slate& slate) {
  return detail::SlateText(slate).whole();
}

} // namespace upline
