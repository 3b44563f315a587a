#pragma once
/// @file
/// @brief Materials that gas wets, as data: which of them oxygen service takes.
/// @par Source
/// docs/theory.md, section "Kit". ASTM G63, G93, G94 and MNL36 by their scopes; what is said of a
/// single material is from memory, to be confirmed.

#include <array>
#include <cstddef>
#include <string>
#include <string_view>

namespace upline {

/// @brief What oxygen service says of a material.
enum class InOxygen {
  usual,       ///< In use there.
  makers_word, ///< Only where the maker rates the item for the share.
  titanium,    ///< Judged by a rule of its own.
  unsuitable   ///< Not to be wetted.
};

/// @brief A material by its chemical short name.
struct Material {
  std::string_view name; ///< As it is written.
  InOxygen in_oxygen;    ///< What oxygen service says of it.
};

/// @brief The materials that can be named; a place in it is what an Item holds.
inline constexpr std::array known_materials{
    Material{"brass", InOxygen::usual},
    Material{"nickel-copper alloy", InOxygen::usual},
    Material{"PTFE", InOxygen::usual},
    Material{"PCTFE", InOxygen::usual},
    Material{"perfluoropolyether", InOxygen::usual},
    Material{"FKM", InOxygen::makers_word},
    Material{"EPDM", InOxygen::makers_word},
    Material{"NBR", InOxygen::makers_word},
    Material{"silicone", InOxygen::makers_word},
    Material{"polyurethane", InOxygen::makers_word},
    Material{"PEEK", InOxygen::makers_word},
    Material{"polyamide", InOxygen::makers_word},
    Material{"stainless steel", InOxygen::makers_word},
    Material{"steel", InOxygen::makers_word},
    Material{"aluminium", InOxygen::makers_word},
    Material{"chromium plating", InOxygen::makers_word},
    Material{"titanium", InOxygen::titanium},
    Material{"hydrocarbon grease", InOxygen::unsuitable},
    Material{"silicone grease", InOxygen::unsuitable},
};

namespace detail {

[[nodiscard]] inline std::string material_names() {
  std::string names;
  for (const Material& one : known_materials)
    names += (names.empty() ? "" : ", ") + std::string(one.name);
  return names;
}

} // namespace detail
} // namespace upline
