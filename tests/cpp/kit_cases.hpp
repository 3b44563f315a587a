#pragma once
// The set of validation/data/fitness_cases.csv, fit by every rule, and what a case changes in it.
#include "support.hpp"

#include <algorithm>
#include <array>
#include <cstddef>
#include <optional>
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

namespace support {

struct KitCase {
  upline::KitSet set{};
  upline::FitnessChoice choice;
};

inline upline::Date day(const char* text) { return upline::detail::date_of("day", text); }

inline upline::ItemKind kind_named(std::string_view name) {
  const auto& names = upline::item_kind_names;
  const auto at = std::find(names.begin(), names.end(), name);
  if (at == names.end()) throw std::runtime_error("no kind of item: " + std::string(name));
  return static_cast<upline::ItemKind>(at - names.begin());
}

inline std::size_t material_named(std::string_view name) {
  const auto& all = upline::known_materials;
  const auto at =
      std::find_if(all.begin(), all.end(), [&](const auto& m) { return m.name == name; });
  if (at == all.end()) throw std::runtime_error("no material: " + std::string(name));
  return static_cast<std::size_t>(at - all.begin());
}

/// An item (invented) that is fit for all of the base.
inline upline::KitItem fit_item(upline::ItemKind kind) {
  using namespace upline;
  const bool low = kind == ItemKind::low_pressure_hose || kind == ItemKind::second_stage;
  const auto has = [&](KitField field) { return detail::has_field(kind, field); };
  KitItem item;
  item.kind = kind;
  item.name = std::string(item_kind_name(kind)) + " (invented)";
  item.largest_oxygen = 1.0;
  item.largest_pressure = bar_gauge(low ? 30.0 : 232.0);
  item.oxygen_pressures = {{1.0, bar_gauge(low ? 20.0 : 200.0)}};
  if (has(KitField::largest_depth)) item.largest_depth = metres(100.0);
  if (has(KitField::lowest_temperature)) item.lowest_temperature = celsius(2.0);
  item.materials = {{material_named("brass"), material_named("PTFE")}};
  item.oxygen_clean = day("2026-11-01");
  item.cleaned_by = "workshop (invented)";
  item.ordinary_air_since = Answer::no;
  if (has(KitField::service)) item.service = day("2026-06-01");
  if (has(KitField::leak_check)) item.leak_check = day("2026-11-20");
  if (has(KitField::connector)) item.connector = Connector::m26x2;
  if (has(KitField::slow_opening)) item.slow_opening = Answer::yes;
  if (has(KitField::mouthpiece_retained)) item.mouthpiece_retained = Answer::yes;
  if (has(KitField::cylinder_test)) item.cylinder_test = day("2024-01-15");
  if (has(KitField::within)) item.within = ItemKind::first_stage;
  if (kind == ItemKind::first_stage) {
    item.balanced = Answer::yes;
    item.adapter = Answer::no;
    item.intermediate_pressure = bar_gauge(9.5);
    item.intermediate_check = day("2026-11-10");
  }
  return item;
}

inline KitCase fit_case() {
  using namespace upline;
  KitCase base{{}, {OxygenLine::above_40, day("2026-11-25")}};
  base.set.name = "50 % (invented)";
  base.set.gas = Gas(0.5);
  for (std::size_t j = 0; j < item_kind_names.size(); ++j)
    base.set.items.push_back(fit_item(static_cast<ItemKind>(j)));
  base.set.fill_pressure = bar_gauge(180.0);
  base.set.filling = Filling::premixed;
  base.set.breathed = DepthRange{metres(6.0), metres(21.0)};
  base.set.carried = DepthRange{metres(0.0), metres(57.0)};
  base.set.going_down = GoingDown::shut;
  base.choice.water_temperature = celsius(8.0);
  base.choice.cleaning_every = Interval{5, IntervalUnit::months};
  base.choice.service_every = Interval{12, IntervalUnit::months};
  base.choice.intermediate_every = Interval{30, IntervalUnit::days};
  base.choice.leak_every = Interval{7, IntervalUnit::days};
  base.choice.cylinder_test_every = Interval{5, IntervalUnit::years};
  base.choice.outlet_en_144_3 = Answer::yes;
  return base;
}

/// Makes the changes that a case writes as "field=value;kind.field=value".
class KitChanger {
public:
  explicit KitChanger(KitCase& one) : one_(one) {}

  void change(const std::string& written, const std::string& kind) {
    for (const std::string& piece : split(written, ';')) {
      const auto equals = piece.find('=');
      std::string field = piece.substr(0, equals);
      value_ = piece.substr(equals + 1);
      std::string of = kind;
      // "1.0" is a value; a dot before the sign of equality names another item.
      if (const auto dot = field.find('.'); dot != std::string::npos) {
        of = field.substr(0, dot);
        field = field.substr(dot + 1);
      }
      if (of_set(field) || of_choice(field)) continue;
      const upline::ItemKind wanted = kind_named(of);
      for (upline::KitItem& item : one_.set.items)
        if (item.kind == wanted && !of_item(field, item))
          throw std::runtime_error("no field " + field);
    }
  }

private:
  [[nodiscard]] bool unknown() const { return value_ == "unknown"; }
  [[nodiscard]] double number() const { return number_of(value_); }
  static double number_of(const std::string& text) {
    std::size_t end = 0;
    const double x = std::stod(text, &end);
    if (end != text.size()) throw std::runtime_error("no number: " + text);
    return x;
  }
  [[nodiscard]] upline::Answer answer() const {
    if (unknown()) return upline::Answer::unknown;
    if (value_ != "yes" && value_ != "no") throw std::runtime_error("no answer: " + value_);
    return value_ == "yes" ? upline::Answer::yes : upline::Answer::no;
  }
  template <class Value, class Make>
  bool put(std::optional<Value>& where, Make make) const {
    where.reset();
    if (!unknown()) where = make();
    return true;
  }
  bool put_day(std::optional<upline::Date>& where) const {
    return put(where, [&] { return upline::detail::date_of("day", value_); });
  }
  bool put_every(std::optional<upline::Interval>& where) const {
    return put(where, [&] { return upline::detail::interval_of("interval", value_); });
  }
  bool put_range(std::optional<upline::DepthRange>& where) const {
    return put(where, [&] {
      const auto ends = split(value_, ':');
      return upline::DepthRange{upline::metres(number_of(ends.at(0))),
                                upline::metres(number_of(ends.at(1)))};
    });
  }

  bool of_set(const std::string& field) {
    using namespace upline;
    KitSet& set = one_.set;
    if (field == "gas") return set.gas = Gas::parse(value_), true;
    if (field == "fill_pressure")
      return put(set.fill_pressure, [&] { return bar_gauge(number()); });
    if (field == "filling") {
      set.filling = value_ == "premixed"       ? Filling::premixed
                    : value_ == "oxygen added" ? Filling::oxygen_added
                                               : Filling::unknown;
      return true;
    }
    if (field == "breathed") return put_range(set.breathed);
    if (field == "carried") return put_range(set.carried);
    if (field == "analysed") return put(set.analysed, [&] { return number(); });
    if (field == "going_down") {
      set.going_down = value_ == "open"   ? GoingDown::open
                       : value_ == "shut" ? GoingDown::shut
                                          : GoingDown::unknown;
      return true;
    }
    if (field == "without") return set.without.push_back(kind_named(value_)), true;
    if (field != "drop") return false;
    const ItemKind kind = kind_named(value_);
    std::erase_if(set.items, [&](const KitItem& item) { return item.kind == kind; });
    return true;
  }

  bool of_choice(const std::string& field) {
    using namespace upline;
    FitnessChoice& choice = one_.choice;
    if (field == "oxygen_line") return choice.line = oxygen_line_at(number()), true;
    if (field == "water_temperature")
      return put(choice.water_temperature, [&] { return celsius(number()); });
    if (field == "outlet_en_144_3") return choice.outlet_en_144_3 = answer(), true;
    if (field == "cleaning_every") return put_every(choice.cleaning_every);
    if (field == "service_every") return put_every(choice.service_every);
    if (field == "intermediate_check_every" || field == "intermediate_every")
      return put_every(choice.intermediate_every);
    if (field == "leak_every") return put_every(choice.leak_every);
    if (field == "cylinder_test_every") return put_every(choice.cylinder_test_every);
    return false;
  }

  bool of_item(const std::string& field, upline::KitItem& item) {
    using namespace upline;
    if (field == "largest_oxygen") return put(item.largest_oxygen, [&] { return number(); });
    if (field == "largest_pressure")
      return put(item.largest_pressure, [&] { return bar_gauge(number()); });
    if (field == "oxygen_pressures") {
      item.oxygen_pressures.clear();
      if (value_ == "none") return true;
      const auto ends = split(value_, ':');
      item.oxygen_pressures.push_back({number_of(ends.at(0)), bar_gauge(number_of(ends.at(1)))});
      return true;
    }
    if (field == "largest_depth")
      return put(item.largest_depth,
                 [&] { return value_ == "no limit" ? no_depth_limit : metres(number()); });
    if (field == "lowest_temperature")
      return put(item.lowest_temperature,
                 [&] { return value_ == "no limit" ? no_cold_limit : celsius(number()); });
    if (field == "materials")
      return put(item.materials, [&] {
        std::vector<std::size_t> named;
        for (const std::string& name : split(value_, '+')) named.push_back(material_named(name));
        return named;
      });
    if (field == "oxygen_clean") return put_day(item.oxygen_clean);
    if (field == "cleaned_by") return item.cleaned_by = unknown() ? "" : value_, true;
    if (field == "ordinary_air_since") return item.ordinary_air_since = answer(), true;
    if (field == "balanced") return item.balanced = answer(), true;
    if (field == "connector") {
      item.connector = unknown()           ? Connector::unknown
                       : value_ == "M26x2" ? Connector::m26x2
                       : value_ == "G 5/8" ? Connector::g_5_8
                                           : Connector::yoke;
      return true;
    }
    if (field == "adapter") return item.adapter = answer(), true;
    if (field == "intermediate_pressure")
      return put(item.intermediate_pressure, [&] { return bar_gauge(number()); });
    if (field == "mouthpiece_retained") return item.mouthpiece_retained = answer(), true;
    if (field == "slow_opening") return item.slow_opening = answer(), true;
    if (field == "within") return put(item.within, [&] { return kind_named(value_); });
    if (field == "service") return put_day(item.service);
    if (field == "intermediate_check") return put_day(item.intermediate_check);
    if (field == "leak_check") return put_day(item.leak_check);
    if (field == "cylinder_test") return put_day(item.cylinder_test);
    return false;
  }

  KitCase& one_;
  std::string value_{};
};

} // namespace support
