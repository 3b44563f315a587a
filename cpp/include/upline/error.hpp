#pragma once
/// @file
/// @brief The errors of the library; every message names field, value, allowed range and remedy.

#include <stdexcept>
#include <string>
#include <utility>

namespace upline {

/// @brief Root of everything the library throws.
class Error : public std::runtime_error {
public:
  using std::runtime_error::runtime_error;
};

/// @brief What was given cannot be used; says which field, what it was and what is allowed.
class InvalidInput : public Error {
public:
  /// @param field   Name of the input as the caller knows it.
  /// @param value   What was given, with its unit.
  /// @param allowed Range or set of values that would be accepted.
  /// @param remedy  What to do about it, as an imperative without a full stop.
  InvalidInput(std::string field, std::string value, std::string allowed, std::string remedy)
      : Error(field + " is " + value + "; allowed: " + allowed + ". Remedy: " + remedy + "."),
        field_(std::move(field)), value_(std::move(value)), allowed_(std::move(allowed)),
        remedy_(std::move(remedy)) {}

  /// @brief Name of the input.
  [[nodiscard]] const std::string& field() const noexcept { return field_; }
  /// @brief What was given, with its unit.
  [[nodiscard]] const std::string& value() const noexcept { return value_; }
  /// @brief Range or set of values that would be accepted.
  [[nodiscard]] const std::string& allowed() const noexcept { return allowed_; }
  /// @brief What to do about it.
  [[nodiscard]] const std::string& remedy() const noexcept { return remedy_; }

private:
  std::string field_;
  std::string value_;
  std::string allowed_;
  std::string remedy_;
};

/// @brief A value of a kind that the field does not take (in Python also a TypeError).
class WrongType : public InvalidInput {
public:
  using InvalidInput::InvalidInput;
};

/// @brief No wait, however long, lets the diver leave a depth under the rules given.
class NoAscent : public Error {
public:
  using Error::Error;
};

} // namespace upline
