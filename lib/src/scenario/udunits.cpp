#include "scenario/udunits.hpp"

#include <locale.h>  // newlocale, uselocale: POSIX
#include <udunits2.h>
#include <clocale>

#include <array>
#include <cmath>
#include <memory>
#include <mutex>

#include "oxfade/error.hpp"

namespace oxfade::scenario::detail {
namespace {

struct KindRow {
    Kind kind;
    const char* si_unit;  ///< null: not looked for
    std::string_view words;
};

constexpr std::array<KindRow, 23> kinds{{
    {Kind::ratio, "1", "a plain ratio or an angle"},
    {Kind::length, "m", "a length"},
    {Kind::area, "m2", "an area"},
    {Kind::volume, "m3", "a volume"},
    {Kind::time, "s", "a time"},
    {Kind::speed, "m/s", "a speed"},
    {Kind::acceleration, "m/s2", "an acceleration"},
    {Kind::frequency, "Hz", "a frequency"},
    {Kind::mass, "kg", "a mass"},
    {Kind::amount, "mol", "an amount of substance"},
    {Kind::temperature, "K", "a temperature"},
    {Kind::pressure, "Pa", "a pressure"},
    {Kind::force, "N", "a force"},
    {Kind::energy, "J", "an energy"},
    {Kind::power, "W", "a power"},
    {Kind::volume_flow, "m3/s", "a volume flow"},
    {Kind::mass_flow, "kg/s", "a mass flow"},
    {Kind::molar_flow, "mol/s", "a molar flow"},
    {Kind::charge, "C", "an electric charge"},
    {Kind::current, "A", "an electric current"},
    {Kind::voltage, "V", "a voltage"},
    {Kind::capacitance, "F", "an electric capacitance"},
    {Kind::other, nullptr, "a quantity of another kind"},
}};

struct Free {
    void operator()(ut_unit* unit) const { ut_free(unit); }
    void operator()(ut_system* system) const { ut_free_system(system); }
    void operator()(cv_converter* converter) const { cv_free(converter); }
};
template <class T>
using Handle = std::unique_ptr<T, Free>;

/// Silences UDUNITS and puts the thread's number format into the C locale, until it goes out of scope.
class Quiet {
  public:
    Quiet()
        : handler_(ut_set_error_message_handler(ut_ignore)),
          c_locale_(newlocale(LC_ALL_MASK, "C", locale_t{})),
          locale_(uselocale(c_locale_)) {}
    Quiet(const Quiet&) = delete;
    Quiet& operator=(const Quiet&) = delete;
    ~Quiet() {
        uselocale(locale_);
        if (c_locale_ != locale_t{}) freelocale(c_locale_);
        ut_set_error_message_handler(handler_);
    }

  private:
    ut_error_message_handler handler_;
    locale_t c_locale_, locale_;
};

/// The database, loaded when first asked for. The only state this library keeps; it never changes afterwards.
ut_system* unit_system() {
    static const Handle<ut_system> system(ut_read_xml(nullptr));
    if (!system)
        throw Error("the UDUNITS-2 unit database cannot be loaded (is UDUNITS-2 installed in full?)");
    return system.get();
}

Handle<ut_unit> parse(const char* text) { return Handle<ut_unit>(ut_parse(unit_system(), text, UT_UTF8)); }

/// True when the two measure the same thing. Not ut_are_convertible, which also turns seconds into hertz.
bool same_kind(const ut_unit* unit, const ut_unit* si) {
    const Handle<ut_unit> ratio(ut_divide(unit, si));
    return ratio && ut_is_dimensionless(ratio.get()) != 0 && ut_are_convertible(unit, si) != 0;
}

std::optional<Unit> meaning(ut_unit* unit, ut_unit* si, Kind kind) {
    const Handle<cv_converter> converter(ut_get_converter(unit, si));
    if (!converter) return std::nullopt;
    const double zero = cv_convert_double(converter.get(), 0.0);
    const double one = cv_convert_double(converter.get(), 1.0);
    if (!std::isfinite(zero) || !std::isfinite(one)) return std::nullopt;
    return Unit{kind, one - zero, zero};
}

}  // namespace

std::string_view to_string(Kind kind) { return kinds[static_cast<std::size_t>(kind)].words; }

std::optional<Unit> find_unit(const std::string& udunits_text) {
    static std::mutex guard;
    const std::lock_guard<std::mutex> lock(guard);
    const Quiet quiet;
    const Handle<ut_unit> unit = parse(udunits_text.c_str());
    if (!unit) return std::nullopt;
    for (const KindRow& row : kinds) {
        if (row.si_unit == nullptr) continue;
        const Handle<ut_unit> si = parse(row.si_unit);
        if (si && same_kind(unit.get(), si.get())) return meaning(unit.get(), si.get(), row.kind);
    }
    return Unit{};
}

}  // namespace oxfade::scenario::detail
