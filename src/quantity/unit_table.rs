//! The units, each with its symbol, kind, exact factor and accepted spellings.
//!
//! Factors are those of NIST Special Publication 811 (2008), appendix B.8, written as exact fractions.

use super::unit::{Dimension, UnitRow};

macro_rules! units {
    ($($(#[$doc:meta])* $name:ident $symbol:literal $dimension:ident $num:literal / $den:literal [$($spelling:literal)*];)*) => {
        /// Every unit that can be typed.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
        pub enum Unit {
            $($(#[$doc])* $name,)*
        }

        impl Unit {
            /// All units, in the order of the table.
            pub const ALL: &'static [Unit] = &[$(Unit::$name,)*];

            pub(super) const fn row(self) -> UnitRow {
                match self {
                    $(Unit::$name => UnitRow {
                        symbol: $symbol,
                        dimension: Dimension::$dimension,
                        num: $num,
                        den: $den,
                        spellings: &[$($spelling),*],
                    },)*
                }
            }
        }
    };
}

// Spellings are compared in lower case without spaces, dots and middle dots; the symbol itself is always accepted.
units! {
    // length, in m
    Micrometre "µm" Length 1 / 1000000 ["um" "μm" "micrometre" "micrometres" "micron" "microns"];
    Millimetre "mm" Length 1 / 1000 ["millimetre" "millimetres" "millimeter" "millimeters"];
    Centimetre "cm" Length 1 / 100 ["centimetre" "centimetres" "centimeter" "centimeters"];
    Metre "m" Length 1 / 1 ["metre" "metres" "meter" "meters"];
    Inch "in" Length 254 / 10000 ["inch" "inches"];
    Foot "ft" Length 3048 / 10000 ["foot" "feet"];
    // force, in N
    Newton "N" Force 1 / 1 ["newton" "newtons"];
    Decanewton "daN" Force 10 / 1 ["decanewton" "decanewtons"];
    Kilonewton "kN" Force 1000 / 1 ["kilonewton" "kilonewtons"];
    KilogramForce "kgf" Force 980665 / 100000 ["kp" "kilopond" "kgforce"];
    PoundForce "lbf" Force 44482216152605 / 10000000000000 ["lbsf" "poundforce" "poundsforce" "lbforce"];
    // mass, in kg
    Kilogram "kg" Mass 1 / 1 ["kgs" "kilo" "kilos" "kilogram" "kilograms"];
    Gram "g" Mass 1 / 1000 ["gram" "grams" "gr"];
    Pound "lb" Mass 45359237 / 100000000 ["lbs" "pound" "pounds" "lbm"];
    // time, in s
    Second "s" Time 1 / 1 ["sec" "secs" "second" "seconds"];
    Minute "min" Time 60 / 1 ["mins" "minute" "minutes"];
    Hour "h" Time 3600 / 1 ["hr" "hrs" "hour" "hours"];
    Day "d" Time 86400 / 1 ["day" "days"];
    // calendar time has no fixed length in seconds; in months
    Month "months" Calendar 1 / 1 ["month" "mo"];
    Year "years" Calendar 12 / 1 ["year" "yr" "yrs" "y"];
    // speed, in m/s
    MetrePerSecond "m/s" Speed 1 / 1 ["mps" "metrespersecond" "meterspersecond"];
    KilometrePerHour "km/h" Speed 10 / 36 ["kmh" "kph" "kmph" "km/hr" "kmperhour"];
    Knot "kt" Speed 1852 / 3600 ["kts" "kn" "knot" "knots"];
    MilePerHour "mph" Speed 44704 / 100000 ["mi/h" "mileperhour" "milesperhour"];
    // pressure, in Pa
    Pascal "Pa" Pressure 1 / 1 ["pascal" "pascals"];
    Hectopascal "hPa" Pressure 100 / 1 ["hectopascal" "hectopascals"];
    Kilopascal "kPa" Pressure 1000 / 1 ["kilopascal" "kilopascals"];
    Millibar "mbar" Pressure 100 / 1 ["mb" "millibar" "millibars"];
    Bar "bar" Pressure 100000 / 1 ["bars"];
    /// Pound-force per square inch: 4.4482216152605 N over (0.0254 m) squared.
    Psi "psi" Pressure 44482216152605 / 6451600000 ["lbf/in2" "lb/in2" "lbsqin"];
    /// Conventional inch of mercury (13595.1 kg/m3 at standard gravity).
    InchOfMercury "inHg" Pressure 3386388640341 / 1000000000 ["inchhg" "inchesofmercury" "inchofmercury" "\"hg"];
    /// Conventional millimetre of mercury.
    MillimetreOfMercury "mmHg" Pressure 133322387415 / 1000000000 ["torr"];
    /// Conventional millimetre of water (1000 kg/m3); a column at 20 °C reads 0.18 % more, see `measure::airspeed`.
    MillimetreOfWater "mmH2O" Pressure 980665 / 100000 ["mmwc" "mmws" "mmh₂o" "mmofwater"];
    /// Conventional inch of water (1000 kg/m3).
    InchOfWater "inH2O" Pressure 24908891 / 100000 ["inwc" "inh₂o" "inchesofwater" "inchofwater"];
    // angle, in degrees: the fraction to the radian is not exact
    Degree "°" Angle 1 / 1 ["deg" "degs" "degree" "degrees"];
    ArcMinute "arcmin" Angle 1 / 60 ["′" "arcminute" "arcminutes"];
    /// 180/pi degrees, to 19 digits: the only unit whose factor is not exact.
    Radian "rad" Angle 5729577951308232088 / 100000000000000000 ["radian" "radians"];
    // torque, in N m
    NewtonMetre "Nm" Torque 1 / 1 ["newtonmetre" "newtonmetres" "newtonmeter" "newtonmeters" "n-m"];
    NewtonMillimetre "Nmm" Torque 1 / 1000 ["n-mm"];
    NewtonCentimetre "Ncm" Torque 1 / 100 ["n-cm"];
    /// Static moments of control surfaces are often printed in this unit, as `kg cm`.
    KilogramForceCentimetre "kgf·cm" Torque 980665 / 10000000 ["kgcm" "kpcm" "cmkg" "cmkgf"];
    InchPound "in·lbf" Torque 1129848290276167 / 10000000000000000
        ["in-lbf" "in-lb" "inlb" "lbf-in" "lb-in" "lbfin" "lbin" "inchpound" "inchpounds" "inch-pounds"];
    // stiffness, in N/m; and its reciprocal
    NewtonPerMillimetre "N/mm" Stiffness 1000 / 1 ["newtonpermillimetre"];
    MillimetrePerNewton "mm/N" Compliance 1 / 1000 ["millimetrepernewton"];
    Hertz "Hz" Frequency 1 / 1 ["hertz" "1/s" "cps"];
    // temperature, in K after the offset of `Unit::offset`
    Celsius "°C" Temperature 1 / 1 ["c" "degc" "celsius"];
    Fahrenheit "°F" Temperature 5 / 9 ["f" "degf" "fahrenheit"];
    Volt "V" Voltage 1 / 1 ["volt" "volts"];
    Ampere "A" Current 1 / 1 ["amp" "amps" "ampere" "amperes"];
    AmpereHour "Ah" Charge 3600 / 1 ["amph" "amphour" "amphours" "amperehour" "amperehours"];
    Ohm "Ω" Resistance 1 / 1 ["ohm" "ohms"];
    Percent "%" Ratio 1 / 100 ["percent" "pct"];
    Litre "l" Volume 1 / 1000 ["litre" "litres" "liter" "liters" "ltr"];
    Launch "launches" Launches 1 / 1 ["launch"];
    Cycle "cycles" Cycles 1 / 1 ["cycle" "cyc"];
    /// A plain count; a checklist may write its unit as `1`.
    Count "count" Count 1 / 1 ["1" "counts" "pcs" "times"];
}
