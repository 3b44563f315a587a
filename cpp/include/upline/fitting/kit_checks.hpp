#pragma once
/// @file
/// @brief Ratings that cannot be: out of range, contradictory, or of another kind of item.

#include <upline/detail/reading.hpp>
#include <upline/detail/require.hpp>
#include <upline/kit.hpp>
#include <upline/kit_fields.hpp>
#include <upline/oxygen_line.hpp>
#include <upline/supply.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <string>
#include <utility>
#include <vector>

namespace upline::detail {

inline constexpr std::size_t longest_name = 60;

inline void require_name(const char* field, const std::string& name) {
  const bool one_line =
      std::none_of(name.begin(), name.end(), [](char c) { return c >= 0 && c < ' '; });
  if (!name.empty() && name.size() <= longest_name && one_line) return;
  throw InvalidInput(field, detail::quoted(name), "a name of 1 to 60 characters, on one line",
                     "give a name");
}

/// Checks one item.
class ItemChecker {
public:
  explicit ItemChecker(const KitItem& item) : item_(item) {}

  void operator()() const {
    require_name("name", item_.name);
    ranges();
    dates();
    pressures();
    materials();
    fields_of_other_kinds();
    if (item_.within == ItemKind::seals)
      throw InvalidInput(field(KitField::within), "\"seals\"", "any other kind of item",
                         "say in which item they are");
  }

private:
  [[nodiscard]] std::string field(KitField field) const {
    return std::string(field_name(field)) + " of " + detail::quoted(item_.name);
  }

  void share(KitField which, double x) const {
    require_range(field(which).c_str(), x, least_oxygen, 1.0, "",
                  x > 1.0 ? "give a share, 0.40 for 40 %" : "give the share on the plate");
  }
  void pressure(KitField which, GaugePressure x, double most) const {
    const GaugePressure low = bar_gauge(1.0);
    const GaugePressure high = bar_gauge(most);
    if (x >= low && x <= high) return;
    throw InvalidInput(field(which), gauge_text(x), gauge_text(low) + " to " + gauge_text(high),
                       "give the pressure on the plate");
  }
  void length(KitField which, Depth x, double low, double high, const char* remedy) const {
    require_length(field(which).c_str(), x, metres(low), metres(high), remedy);
  }

  void ranges() const {
    constexpr double most_pressure = 1000.0;
    constexpr double most_intermediate = 30.0;
    if (item_.largest_oxygen) share(KitField::largest_oxygen, *item_.largest_oxygen);
    if (item_.largest_pressure)
      pressure(KitField::largest_pressure, *item_.largest_pressure, most_pressure);
    for (const PressureAtShare& one : item_.oxygen_pressures) {
      share(KitField::oxygen_pressures, one.share);
      pressure(KitField::oxygen_pressures, one.pressure, most_pressure);
    }
    if (item_.intermediate_pressure)
      pressure(KitField::intermediate_pressure, *item_.intermediate_pressure, most_intermediate);
    if (item_.largest_depth && *item_.largest_depth != no_depth_limit)
      length(KitField::largest_depth, *item_.largest_depth, 1.0, 1000.0,
             "give the depth on the plate, or \"no limit\" where the maker sets none");
    if (item_.hose_length)
      length(KitField::hose_length, *item_.hose_length, 0.05, 10.0, "measure the hose");
    temperature();
    if (!item_.cleaned_by.empty())
      require_name(field(KitField::cleaned_by).c_str(), item_.cleaned_by);
    if (!item_.colour.empty()) require_name(field(KitField::colour).c_str(), item_.colour);
  }

  void temperature() const {
    if (!item_.lowest_temperature || *item_.lowest_temperature == no_cold_limit) return;
    const Temperature low = celsius(-40.0);
    const Temperature high = celsius(40.0);
    if (*item_.lowest_temperature >= low && *item_.lowest_temperature <= high) return;
    const double given = in_celsius(*item_.lowest_temperature);
    throw InvalidInput(field(KitField::lowest_temperature),
                       in_both(given, "degrees C", in_fahrenheit(*item_.lowest_temperature), "F"),
                       "-40 degrees C (-40 F) to 40 degrees C (104 F)",
                       "give the coldest water on the plate, or \"no limit\" where the maker sets "
                       "none");
  }

  void dates() const {
    const std::array<std::pair<KitField, const std::optional<Date>*>, 5> all{
        {{KitField::oxygen_clean, &item_.oxygen_clean},
         {KitField::service, &item_.service},
         {KitField::intermediate_check, &item_.intermediate_check},
         {KitField::leak_check, &item_.leak_check},
         {KitField::cylinder_test, &item_.cylinder_test}}};
    for (const auto& [which, day] : all)
      if (*day) require_date(field(which), **day);
  }

  /// More oxygen never allows more pressure, nor a share beyond the plate's own.
  void pressures() const {
    std::vector<PressureAtShare> sorted = item_.oxygen_pressures;
    std::sort(sorted.begin(), sorted.end(),
              [](const auto& a, const auto& b) { return a.share < b.share; });
    for (std::size_t j = 0; j < sorted.size(); ++j) {
      const std::string stated =
          gauge_text(sorted[j].pressure) + " to " + kit_share_text(sorted[j].share);
      if (item_.largest_oxygen && sorted[j].share > *item_.largest_oxygen + fit_slack)
        contradict(stated + " beside a largest_oxygen of " + kit_share_text(*item_.largest_oxygen),
                   "shares up to largest_oxygen");
      if (item_.largest_pressure && sorted[j].pressure > *item_.largest_pressure)
        contradict(stated + " beside a largest_pressure of " + gauge_text(*item_.largest_pressure),
                   "pressures up to largest_pressure");
      if (j == 0) continue;
      if (sorted[j].share - sorted[j - 1].share < fit_slack)
        contradict(kit_share_text(sorted[j].share) + " stated twice", "each share once");
      if (sorted[j].pressure > sorted[j - 1].pressure)
        contradict(stated + " beside " + gauge_text(sorted[j - 1].pressure) + " to " +
                       kit_share_text(sorted[j - 1].share),
                   "no more pressure with more oxygen");
    }
  }
  [[noreturn]] void contradict(const std::string& value, const char* allowed) const {
    throw InvalidInput(field(KitField::oxygen_pressures), value, allowed,
                       "read the plate again; leave out what it does not say");
  }

  void materials() const {
    if (!item_.materials) return;
    if (item_.materials->empty())
      throw InvalidInput(field(KitField::materials), "empty", "one or more of " + material_names(),
                         "name all that gas wets, or leave it out where they are not known");
    for (const std::size_t one : *item_.materials)
      if (one >= known_materials.size())
        throw InvalidInput(field(KitField::materials), "number " + std::to_string(one),
                           "places in known_materials", "name a known material");
  }

  void fields_of_other_kinds() const {
    const std::array<std::pair<KitField, bool>, 17> given{
        {{KitField::largest_depth, item_.largest_depth.has_value()},
         {KitField::lowest_temperature, item_.lowest_temperature.has_value()},
         {KitField::balanced, item_.balanced != Answer::unknown},
         {KitField::turning_outlet, item_.turning_outlet != Answer::unknown},
         {KitField::connector, item_.connector != Connector::unknown},
         {KitField::adapter, item_.adapter != Answer::unknown},
         {KitField::intermediate_pressure, item_.intermediate_pressure.has_value()},
         {KitField::hose_length, item_.hose_length.has_value()},
         {KitField::colour, !item_.colour.empty()},
         {KitField::gauge_kind, item_.gauge_kind != GaugeKind::unknown},
         {KitField::mouthpiece_retained, item_.mouthpiece_retained != Answer::unknown},
         {KitField::slow_opening, item_.slow_opening != Answer::unknown},
         {KitField::within, item_.within.has_value()},
         {KitField::service, item_.service.has_value()},
         {KitField::intermediate_check, item_.intermediate_check.has_value()},
         {KitField::leak_check, item_.leak_check.has_value()},
         {KitField::cylinder_test, item_.cylinder_test.has_value()}}};
    for (const auto& [which, stated] : given)
      if (stated && !has_field(item_.kind, which))
        throw InvalidInput(field(which), "given for a " + std::string(item_kind_name(item_.kind)),
                           "only for " + kinds_with(which),
                           "leave it out, or give it to that item");
  }
  [[nodiscard]] static std::string kinds_with(KitField which) {
    std::string names;
    for (std::size_t j = 0; j < item_kind_names.size(); ++j)
      if (has_field(static_cast<ItemKind>(j), which))
        names += (names.empty() ? "" : ", ") + std::string(item_kind_names[j]);
    return names;
  }

  const KitItem& item_;
};

inline void require_depths(const char* field, const DepthRange& range) {
  const Depth deepest = metres(350.0);
  require_length(field, range.deepest, Depth(), deepest, "give depths of the dive");
  if (range.shallowest >= Depth() && range.shallowest <= range.deepest) return;
  throw InvalidInput(field, length_text(range.shallowest) + " to " + length_text(range.deepest),
                     "from the shallowest to the deepest", "write the shallower one first");
}

inline void check_label(const KitLabel& label) {
  if (label.largest_depth)
    require_length("label depth", *label.largest_depth, Depth(), metres(350.0),
                   "give the depth that is written on the label");
  if (label.date) require_date("label date", *label.date);
  if (!label.analyst.empty()) require_name("label analyst", label.analyst);
}

/// Checks a set on its own.
inline void check_set(const KitSet& set) {
  constexpr std::size_t most_items = 40;
  require_name("name", set.name);
  if (set.items.empty() || set.items.size() > most_items)
    throw InvalidInput("items", std::to_string(set.items.size()), "1 to 40 items",
                       "list the cylinder and all that hangs on it");
  for (const ItemKind kind : set.without)
    if ((bit(kind) & (hoses | bit(ItemKind::gauge))) == 0)
      throw InvalidInput("without", detail::quoted(item_kind_name(kind)),
                         "\"high-pressure hose\", \"gauge\", \"low-pressure hose\"",
                         "list the item; what is not known of it can be left out");
  for (const KitItem& item : set.items) {
    ItemChecker{item}();
    if (std::find(set.without.begin(), set.without.end(), item.kind) != set.without.end())
      throw InvalidInput("without",
                         detail::quoted(item_kind_name(item.kind)) + " beside such an item",
                         "kinds that are not among the items", "leave one of them out");
  }
  if (set.fill_pressure)
    require_gauge("fill_pressure", *set.fill_pressure, bar_gauge(0.0), gauge_remedy);
  if (set.breathed) require_depths("breathed", *set.breathed);
  if (set.carried) require_depths("carried", *set.carried);
  if (set.breathed && set.carried &&
      (set.breathed->deepest > set.carried->deepest + metres(fit_slack) ||
       set.breathed->shallowest + metres(fit_slack) < set.carried->shallowest))
    throw InvalidInput("carried",
                       length_text(set.carried->shallowest) + " to " +
                           length_text(set.carried->deepest) + " beside breathed from " +
                           length_text(set.breathed->shallowest) + " to " +
                           length_text(set.breathed->deepest),
                       "a range that holds all that is breathed", "widen carried");
  if (set.analysed)
    require_range("analysed", *set.analysed, least_oxygen, 1.0, "",
                  "give the share that the analyser read, 0.32 for 32 %");
  if (set.analysed_on) require_date("analysed_on", *set.analysed_on);
  if (set.hose_needed)
    require_length("hose_needed", *set.hose_needed, metres(0.05), metres(10.0),
                   "measure it on the diver");
  if (set.label) check_label(*set.label);
}

} // namespace upline::detail
