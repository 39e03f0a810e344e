//! Units of length, volume, power and mass, with their exact factors.
//!
//! Words are taken folded (lower case, no accents). A word that means two units in this trade
//! (`in`, `l`, `km`) is read only where the caller has a number beside it.
//!
//! Sources of the factors: the inch and the pound are exact by international agreement of 1959
//! (ISO 80000-3, ISO 80000-4); the metric horsepower is 75 kgf·m/s with the standard gravity
//! 9.80665 m/s² (CGPM 1901), the mechanical one 550 ft·lbf/s. Same values in Debian `units`
//! 2.22-2 and PyPI pint 0.25.3.

/// A unit of length.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LengthUnit {
    /// mm
    Millimetre,
    /// cm
    Centimetre,
    /// m
    Metre,
    /// inch
    Inch,
}

impl LengthUnit {
    /// Reads a folded word.
    pub fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "mm" | "millimeter" | "millimeters" | "millimetre" | "millimetres" | "milimetros" | "milimetry"
            | "毫米" | "мм" | "milimetre" | "milimetru" => Self::Millimetre,
            "cm" | "centimeter" | "centimetre" | "zentimeter" | "厘米" | "см" => Self::Centimetre,
            "m" | "meter" | "metre" | "metres" | "meters" | "metros" => Self::Metre,
            "in" | "inch" | "inches" | "\"" | "zoll" | "pouce" | "pouces" | "pulgada" | "pulgadas" | "pulg"
            | "pollice" | "pollici" | "duim" | "tum" | "cal" | "cali" | "英寸" => Self::Inch,
            _ => return None,
        })
    }

    /// Millimetres in one unit, exact.
    pub const fn mm(self) -> f64 {
        match self {
            Self::Millimetre => 1.0,
            Self::Centimetre => 10.0,
            Self::Metre => 1000.0,
            Self::Inch => 25.4,
        }
    }
}

/// A unit of volume.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum VolumeUnit {
    /// cc, ccm, cm³
    CubicCentimetre,
    /// ml
    Millilitre,
    /// L
    Litre,
    /// cu in, CID, in³
    CubicInch,
}

impl VolumeUnit {
    /// Reads a folded word, `cu.in` and `cu in` included.
    pub fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "cc" | "ccm" | "cm3" | "cm^3" | "ccs" | "cmc" | "cmc3" | "kubik" | "kubikk" | "kubikcm" | "cilindradas"
            | "куб.см" | "куб. см" | "куб см" | "куб" | "см^3" | "см куб" | "c.c" | "c.c." | "毫升" | "см3" => {
                Self::CubicCentimetre
            }
            "ml" => Self::Millilitre,
            "l" | "ltr" | "liter" | "litre" | "litres" | "liters" | "litro" | "litri" => Self::Litre,
            "cid" | "ci" | "cui" | "in3" | "in^3" | "cuin" | "cu in" | "cu.in" | "cu. in" | "cu.in." | "cu in."
            | "cu. in." | "cubic inch" | "cubic inches" | "cu inch" | "cu. inch" | "cubic in" => Self::CubicInch,
            _ => return None,
        })
    }

    /// Cubic centimetres in one unit, exact (1 in³ = 2.54³ cm³).
    pub const fn cm3(self) -> f64 {
        match self {
            Self::CubicCentimetre | Self::Millilitre => 1.0,
            Self::Litre => 1000.0,
            Self::CubicInch => 16.387064,
        }
    }
}

/// A unit of power.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum PowerUnit {
    /// Mechanical horsepower (hp, bhp), 550 ft·lbf/s.
    Horsepower,
    /// Metric horsepower (PS, cv, ch, pk, KM), 75 kgf·m/s.
    MetricHorsepower,
    /// kW
    Kilowatt,
    /// W
    Watt,
    /// kVA: apparent electrical power, read as the kW of a machine at power factor 1.
    KilovoltAmpere,
}

impl PowerUnit {
    /// Reads a folded word.
    pub fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "hp" | "bhp" | "h.p" | "h.p." | "ghp" | "horsepower" | "horse power" => Self::Horsepower,
            "ps" | "cv" | "ch" | "pk" | "km" | "k.m." | "c.v." | "chevaux" | "caballos" | "cavalli" | "koni"
            | "马力" | "匹马力" | "匹" | "л.с." | "л.с" | "л. с." | "лс" | "л/с" | "hk" | "cp" | "hv"
            | "hestekrefter" | "hastkrafter" | "hestekraefter" => Self::MetricHorsepower,
            "kw" | "kilowatt" | "kilowatts" | "千瓦" | "квт" => Self::Kilowatt,
            "w" | "watt" | "watts" | "瓦" => Self::Watt,
            "kva" => Self::KilovoltAmpere,
            _ => return None,
        })
    }

    /// Kilowatts in one unit. The mechanical horsepower is 550 × 0.3048 × 0.45359237 × 9.80665 W.
    pub const fn kw(self) -> f64 {
        match self {
            Self::Horsepower => 550.0 * 0.3048 * 0.453_592_37 * 9.806_65 / 1000.0,
            Self::MetricHorsepower => 0.735_498_75,
            Self::Kilowatt | Self::KilovoltAmpere => 1.0,
            Self::Watt => 0.001,
        }
    }
}

/// A unit of mass.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum MassUnit {
    /// g
    Gram,
    /// kg
    Kilogram,
    /// lb
    Pound,
    /// oz, one sixteenth of a pound
    Ounce,
}

impl MassUnit {
    /// Reads a folded word.
    pub fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "g" | "gr" | "gram" | "grams" | "gramm" | "gramme" | "grammes" | "gramos" | "克" => Self::Gram,
            "kg" | "kgs" | "kilo" | "kilos" | "kilogram" | "kilogramm" | "千克" | "公斤" => Self::Kilogram,
            "lb" | "lbs" | "pound" | "pounds" => Self::Pound,
            "oz" | "ounce" | "ounces" => Self::Ounce,
            _ => return None,
        })
    }

    /// Grams in one unit, exact.
    pub const fn grams(self) -> f64 {
        match self {
            Self::Gram => 1.0,
            Self::Kilogram => 1000.0,
            Self::Pound => 453.592_37,
            Self::Ounce => 453.592_37 / 16.0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn close(value: f64, expected: f64, within: f64) {
        assert!((value - expected).abs() <= within, "{value} is not {expected}");
    }

    // Worked values below agree with Debian `units` 2.22-2 and PyPI pint 0.25.3.

    #[test]
    fn horsepowers_are_different_units() {
        close(PowerUnit::Horsepower.kw(), 0.745_699_871_582, 1e-12);
        close(5.5 * PowerUnit::Horsepower.kw(), 4.1013, 5e-5);
        close(6.5 * PowerUnit::Horsepower.kw(), 4.8470, 5e-5);
        close(13.0 * PowerUnit::Horsepower.kw(), 9.6941, 5e-5);
        close(6.5 * PowerUnit::MetricHorsepower.kw(), 4.7807, 5e-5);
        close(13.0 * PowerUnit::MetricHorsepower.kw(), 9.5615, 5e-5);
        close(4.8 / PowerUnit::Horsepower.kw(), 6.437, 5e-4);
        close(4.8 / PowerUnit::MetricHorsepower.kw(), 6.526, 5e-4);
    }

    #[test]
    fn cubic_inches_convert_exactly() {
        close(16.5 * VolumeUnit::CubicInch.cm3(), 270.387, 5e-4);
        close(196.0 / VolumeUnit::CubicInch.cm3(), 11.9607, 5e-5);
        close(389.0 / VolumeUnit::CubicInch.cm3(), 23.7382, 5e-5);
    }

    #[test]
    fn words_of_several_languages_are_known() {
        assert_eq!(LengthUnit::from_word("zoll"), Some(LengthUnit::Inch));
        assert_eq!(LengthUnit::from_word("tum"), Some(LengthUnit::Inch));
        assert_eq!(VolumeUnit::from_word("ccm"), Some(VolumeUnit::CubicCentimetre));
        assert_eq!(PowerUnit::from_word("pk"), Some(PowerUnit::MetricHorsepower));
        assert_eq!(PowerUnit::from_word("km"), Some(PowerUnit::MetricHorsepower));
        assert_eq!(MassUnit::from_word("lbs"), Some(MassUnit::Pound));
        assert_eq!(LengthUnit::from_word("pcd"), None);
    }

    #[test]
    fn a_pound_is_sixteen_ounces() {
        // international pound, 0.45359237 kg exactly
        assert_eq!(MassUnit::Gram.grams(), 1.0);
        assert_eq!(MassUnit::Kilogram.grams(), 1000.0);
        close(2.2 * MassUnit::Pound.grams(), 997.903_214, 1e-6);
        close(16.0 * MassUnit::Ounce.grams(), MassUnit::Pound.grams(), 1e-9);
    }
}
