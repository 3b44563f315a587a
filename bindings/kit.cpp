#include "kit.hpp"

#include <upline/fitting/kit_checks.hpp>

#include <algorithm>
#include <cstddef>
#include <initializer_list>
#include <utility>
#include <vector>

namespace upline::python {
namespace {

/// Reads fields one by one, and notes each in the form in which Python keeps it.
class Reader {
public:
  Reader(const py::dict& given, Units units, std::string owner, py::dict* kept)
      : given_(given), units_(units), owner_(std::move(owner)), kept_(kept) {}

  [[nodiscard]] py::handle value(const char* name) const {
    PyObject* found = PyDict_GetItemString(given_.ptr(), name);
    return found == nullptr ? py::none().ptr() : found;
  }
  [[nodiscard]] std::string field(const char* name) const {
    return owner_.empty() ? name : std::string(name) + " of " + detail::quoted(owner_);
  }
  [[nodiscard]] bool unknown(const char* name) const {
    if (!value(name).is_none()) return false;
    keep(name, py::none());
    return true;
  }
  void keep(const char* name, const py::object& in_python) const {
    if (kept_ != nullptr) (*kept_)[name] = in_python;
  }
  void rename(std::string owner) { owner_ = std::move(owner); }

  [[nodiscard]] std::string name() const {
    std::string read = text("name");
    if (read.empty())
      throw InvalidInput("name", "empty", "a name of 1 to 60 characters", "name it");
    return read;
  }
  /// Empty where unknown.
  [[nodiscard]] std::string text(const char* name) const {
    if (unknown(name)) return "";
    std::string read = python::text(value(name), field(name).c_str(),
                                    "a text of up to 60 characters", "put it in quotes");
    keep(name, py::str(read));
    return read;
  }
  [[nodiscard]] double plain_number(const char* name, const char* unit) const {
    const double x = number(value(name), field(name).c_str(), unit);
    keep(name, py::float_(x));
    return x;
  }
  [[nodiscard]] std::optional<double> share(const char* name) const {
    if (unknown(name)) return {};
    return plain_number(name, "share of 1");
  }
  [[nodiscard]] std::optional<GaugePressure> pressure(const char* name) const {
    if (unknown(name)) return {};
    const char* unit = units_ == Units::metric ? "bar" : "psi";
    return GaugePressure(plain_number(name, unit) * pressure_unit(units_));
  }
  [[nodiscard]] std::optional<Depth> length(const char* name) const {
    if (unknown(name)) return {};
    return depth_from(plain_number(name, length_name(units_)), units_);
  }
  [[nodiscard]] std::optional<Date> date(const char* name) const {
    if (unknown(name)) return {};
    const Date day = date_from(value(name), field(name));
    keep(name, shown_date(day));
    return day;
  }
  [[nodiscard]] Answer answer(const char* name) const {
    const Answer read = answer_of(value(name), field(name).c_str());
    keep(name, py::reinterpret_borrow<py::object>(value(name)));
    return read;
  }
  /// Whether a field holds "no limit" in the place of a number.
  [[nodiscard]] bool no_limit(const char* name) const {
    if (!PyUnicode_Check(value(name).ptr())) return false;
    static_cast<void>(choice(value(name), field(name).c_str(), {"no limit"}, ", or a number"));
    keep(name, py::str("no limit"));
    return true;
  }
  /// The place among words, one more than that of the first; 0 where unknown.
  [[nodiscard]] std::size_t word(const char* name, std::initializer_list<const char*> words) const {
    if (unknown(name)) return 0;
    const std::size_t at = choice(value(name), field(name).c_str(), words);
    keep(name, py::str(*(words.begin() + at)));
    return at + 1;
  }
  template <std::size_t N>
  [[nodiscard]] std::size_t among(py::handle one, const char* name,
                                  const std::array<std::string_view, N>& words) const {
    const std::string read =
        python::text(one, field(name).c_str(), listed(words).c_str(), "write one of these words");
    const auto at = std::find(words.begin(), words.end(), read);
    if (at == words.end())
      throw InvalidInput(field(name), detail::quoted(read), listed(words),
                         "write one of these words");
    return static_cast<std::size_t>(at - words.begin());
  }
  [[nodiscard]] std::vector<py::object> list(const char* name, const char* allowed,
                                             const char* remedy) const {
    constexpr std::size_t most = 40;
    std::vector<py::object> all = items(value(name), field(name).c_str(), allowed, remedy);
    if (all.size() > most)
      throw InvalidInput(field(name), std::to_string(all.size()) + " of them", "up to 40",
                         "leave out what is there twice");
    return all;
  }
  [[nodiscard]] std::optional<DepthRange> range(const char* name) const {
    if (unknown(name)) return {};
    const std::string of = field(name);
    const std::vector<py::object> ends =
        list(name, "two depths", "write the shallowest and the deepest, [6, 21]");
    if (ends.size() != 2)
      throw InvalidInput(of, std::to_string(ends.size()) + " depths", "two depths",
                         "write the shallowest and the deepest, [6, 21]");
    const double low = number(ends[0], of.c_str(), length_name(units_));
    const double high = number(ends[1], of.c_str(), length_name(units_));
    keep(name, py::make_tuple(low, high));
    return DepthRange{depth_from(low, units_), depth_from(high, units_)};
  }
  [[nodiscard]] Units units() const { return units_; }

private:
  template <std::size_t N>
  [[nodiscard]] static std::string listed(const std::array<std::string_view, N>& words) {
    std::string text;
    for (const std::string_view word : words)
      text += (text.empty() ? "" : ", ") + detail::quoted(word);
    return text;
  }

  const py::dict& given_;
  Units units_;
  std::string owner_;
  py::dict* kept_;
};

std::vector<PressureAtShare> pressures_at_shares(const Reader& read) {
  constexpr const char* name = "oxygen_pressures";
  constexpr const char* allowed = "pairs of a share and a pressure";
  constexpr const char* remedy = "write [[1.0, 180]] for 180 up to 100 %";
  const std::string field = read.field(name);
  std::vector<PressureAtShare> pressures;
  py::list kept;
  if (!read.value(name).is_none())
    for (const py::object& one : read.list(name, allowed, remedy)) {
      const std::vector<py::object> pair = items(one, field.c_str(), allowed, remedy);
      if (pair.size() != 2)
        throw InvalidInput(field, std::to_string(pair.size()) + " numbers", allowed, remedy);
      const double share = number(pair[0], field.c_str(), "share of 1");
      const double pressure = number(pair[1], field.c_str(), "");
      pressures.push_back({share, GaugePressure(pressure * pressure_unit(read.units()))});
      kept.append(py::make_tuple(share, pressure));
    }
  read.keep(name, py::tuple(kept));
  return pressures;
}

std::optional<std::vector<std::size_t>> materials_of(const Reader& read) {
  constexpr const char* name = "materials";
  if (read.unknown(name)) return {};
  std::array<std::string_view, known_materials.size()> names;
  for (std::size_t j = 0; j < names.size(); ++j) names[j] = known_materials[j].name;
  std::vector<std::size_t> wetted;
  py::list kept;
  for (const py::object& one :
       read.list(name, "a list of materials", "write [\"brass\", \"FKM\"]")) {
    wetted.push_back(read.among(one, name, names));
    kept.append(names[wetted.back()]);
  }
  read.keep(name, py::tuple(kept));
  return wetted;
}

void read_ratings(const Reader& read, KitItem& item) {
  item.largest_oxygen = read.share("largest_oxygen");
  item.largest_pressure = read.pressure("largest_pressure");
  item.oxygen_pressures = pressures_at_shares(read);
  if (read.no_limit("largest_depth"))
    item.largest_depth = no_depth_limit;
  else
    item.largest_depth = read.length("largest_depth");
  if (read.no_limit("lowest_temperature")) {
    item.lowest_temperature = no_cold_limit;
  } else if (!read.unknown("lowest_temperature")) {
    const double degrees = read.plain_number("lowest_temperature", "degrees");
    item.lowest_temperature =
        read.units() == Units::metric ? celsius(degrees) : fahrenheit(degrees);
  }
  item.materials = materials_of(read);
  item.oxygen_clean = read.date("oxygen_clean");
  item.cleaned_by = read.text("cleaned_by");
  item.ordinary_air_since = read.answer("ordinary_air_since");
}

void read_build(const Reader& read, KitItem& item) {
  item.balanced = read.answer("balanced");
  item.turning_outlet = read.answer("turning_outlet");
  item.connector = static_cast<Connector>(read.word("connector", {"yoke", "G 5/8", "M26x2"}));
  item.adapter = read.answer("adapter");
  item.intermediate_pressure = read.pressure("intermediate_pressure");
  item.hose_length = read.length("hose_length");
  item.colour = read.text("colour");
  item.gauge_kind = static_cast<GaugeKind>(read.word("gauge_kind", {"full", "small"}));
  item.mouthpiece_retained = read.answer("mouthpiece_retained");
  item.slow_opening = read.answer("slow_opening");
  if (!read.unknown("within")) {
    item.within =
        static_cast<ItemKind>(read.among(read.value("within"), "within", item_kind_names));
    read.keep("within", py::str(std::string(item_kind_name(*item.within))));
  }
  item.service = read.date("service");
  item.intermediate_check = read.date("intermediate_check");
  item.leak_check = read.date("leak_check");
  item.cylinder_test = read.date("cylinder_test");
}

std::vector<Cue> cues_of(const Reader& read, py::list& kept) {
  std::vector<Cue> cues;
  for (const py::object& one : read.list("cues", "a list of cues", "write [\"side\", \"touch\"]")) {
    cues.push_back(static_cast<Cue>(read.among(one, "cues", cue_names)));
    kept.append(cue_names[static_cast<std::size_t>(cues.back())]);
  }
  return cues;
}

std::optional<KitLabel> label_of(const Reader& of_set, Units units) {
  if (of_set.unknown("label")) return {};
  const auto given = py::reinterpret_borrow<py::dict>(of_set.value("label"));
  py::dict kept;
  const Reader read(given, units, "label", &kept);
  KitLabel label;
  if (!read.unknown("mix")) {
    label.mix = gas_of(read.value("mix"), "label mix");
    read.keep("mix", py::cast(*label.mix));
  }
  label.largest_depth = read.length("largest_depth");
  label.date = read.date("date");
  label.analyst = read.text("analyst");
  label.one_unit = read.answer("one_unit");
  of_set.keep("label", kept);
  return label;
}

void read_use(const Reader& read, KitSet& set) {
  set.fill_pressure = read.pressure("fill_pressure");
  set.filling = static_cast<Filling>(read.word("filling", {"premixed", "oxygen added"}));
  set.breathed = read.range("breathed");
  set.carried = read.range("carried");
  set.going_down = static_cast<GoingDown>(read.word("going_down", {"open", "shut"}));
  set.analysed = read.share("analysed");
  set.analysed_on = read.date("analysed_on");
  set.label = label_of(read, read.units());
  if (!read.unknown("cues")) {
    py::list kept;
    set.cues = cues_of(read, kept);
    read.keep("cues", py::tuple(kept));
  }
  set.colour_by_team = read.answer("colour_by_team");
  set.hose_needed = read.length("hose_needed");
}

/// The items of a sequence that Python hands over.
py::list listed_items(py::handle value, const std::string& field, const std::string& allowed,
                      const std::string& remedy) {
  py::list all;
  for (const py::object& one : items(value, field.c_str(), allowed.c_str(), remedy.c_str()))
    all.append(one);
  return all;
}

py::dict kept_item(const py::dict& given, py::handle units) {
  py::dict kept;
  static_cast<void>(kit_item_of(given, units_of(units), &kept));
  return kept;
}

py::dict kept_set(const py::dict& given, py::handle units) {
  py::dict kept;
  static_cast<void>(kit_set_of(given, units_of(units), &kept));
  return kept;
}

} // namespace

Answer answer_of(py::handle value, const char* field) {
  if (value.is_none()) return Answer::unknown;
  if (!PyBool_Check(value.ptr()))
    throw WrongType(field, shown(value), "True, False, or None where it is not known",
                    "give one of these");
  return value.ptr() == Py_True ? Answer::yes : Answer::no;
}

Date date_from(py::handle value, const std::string& field) {
  const py::object type = py::module_::import("datetime").attr("date");
  if (is_of(value, type)) {
    // Of the class itself, not of one derived from it, which could answer anything.
    const py::object written = type.attr("isoformat")(value);
    return detail::date_of(field, written.cast<std::string>());
  }
  return detail::date_of(field, text(value, field.c_str(), detail::date_allowed,
                                     "write \"2026-11-25\", or give a datetime.date"));
}

py::object shown_date(const std::optional<Date>& day) {
  if (!day) return py::none();
  return py::module_::import("datetime")
      .attr("date")(static_cast<int>(day->year()), static_cast<unsigned>(day->month()),
                    static_cast<unsigned>(day->day()));
}

KitItem kit_item_of(const py::dict& given, Units units, py::dict* kept) {
  Reader read(given, units, "", kept);
  KitItem item;
  item.kind = static_cast<ItemKind>(read.among(read.value("kind"), "kind", item_kind_names));
  read.keep("kind", py::str(std::string(item_kind_name(item.kind))));
  item.name = read.name();
  read.rename(item.name);
  read_ratings(read, item);
  read_build(read, item);
  detail::ItemChecker{item}();
  return item;
}

KitSet kit_set_of(const py::dict& given, Units units, py::dict* kept) {
  Reader read(given, units, "", kept);
  KitSet set;
  set.name = read.name();
  read.rename(set.name);
  set.gas = gas_of(read.value("gas"), read.field("gas").c_str());
  read.keep("gas", py::cast(set.gas));
  for (const py::handle item : py::reinterpret_borrow<py::tuple>(read.value("items")))
    set.items.push_back(kit_item_of(py::reinterpret_borrow<py::dict>(item), units));
  py::list without;
  for (const py::object& one : read.list("without", "a list of kinds", "write [\"gauge\"]")) {
    set.without.push_back(static_cast<ItemKind>(read.among(one, "without", item_kind_names)));
    without.append(item_kind_name(set.without.back()));
  }
  read.keep("without", py::tuple(without));
  read_use(read, set);
  detail::check_set(set);
  return set;
}

void register_kit(py::module_& module) {
  module.def("items", &listed_items);
  module.def("kit_item", &kept_item);
  module.def("kit_set", &kept_set);
}

} // namespace upline::python
