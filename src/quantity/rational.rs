//! Fractions of 128-bit integers, enough to convert and compare typed quantities without rounding.

use rust_decimal::Decimal;
use std::cmp::Ordering;

/// Digits kept when a conversion does not end (1 kt in km/h does, 1 km/h in kt does not).
const ROUNDED_DIGITS: u32 = 18;

/// `num / den`, reduced, `den > 0`. Every operation answers `None` where 128 bits do not suffice.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Rational {
    num: i128,
    den: i128,
}

fn gcd(mut a: u128, mut b: u128) -> u128 {
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a.max(1)
}

/// Full 256-bit product as (high, low).
fn wide_product(a: u128, b: u128) -> (u128, u128) {
    const LOW: u128 = u64::MAX as u128;
    let (a1, a0, b1, b0) = (a >> 64, a & LOW, b >> 64, b & LOW);
    let low = a0 * b0;
    let middle = a1 * b0 + (low >> 64);
    let middle_low = a0 * b1 + (middle & LOW);
    (a1 * b1 + (middle >> 64) + (middle_low >> 64), (middle_low << 64) | (low & LOW))
}

impl Rational {
    /// Reduced fraction; `None` for a zero denominator or one that does not fit.
    pub(super) fn new(num: i128, den: i128) -> Option<Self> {
        if den == 0 || num == i128::MIN || den == i128::MIN {
            return None;
        }
        let divisor = i128::try_from(gcd(num.unsigned_abs(), den.unsigned_abs())).ok()? * den.signum();
        Some(Self { num: num / divisor, den: den / divisor })
    }

    pub(super) fn from_decimal(value: Decimal) -> Option<Self> {
        Self::new(value.mantissa(), 10i128.checked_pow(value.scale())?)
    }

    pub(super) fn times(self, other: Self) -> Option<Self> {
        // Cross-reducing first keeps the products small.
        let a = Self::new(self.num, other.den)?;
        let b = Self::new(other.num, self.den)?;
        Self::new(a.num.checked_mul(b.num)?, a.den.checked_mul(b.den)?)
    }

    pub(super) fn over(self, other: Self) -> Option<Self> {
        self.times(Self::new(other.den, other.num)?)
    }

    pub(super) fn plus(self, other: Self) -> Option<Self> {
        let common = Self::new(self.den, other.den)?;
        // common = self.den/g over other.den/g, so self.num*(other.den/g) + other.num*(self.den/g) over self.den*(other.den/g)
        let num = self.num.checked_mul(common.den)?.checked_add(other.num.checked_mul(common.num)?)?;
        Self::new(num, self.den.checked_mul(common.den)?)
    }

    pub(super) fn negated(self) -> Self {
        Self { num: -self.num, den: self.den }
    }

    pub(super) fn compare(self, other: Self) -> Ordering {
        let sign = |r: Self| r.num.signum();
        if sign(self) != sign(other) {
            return sign(self).cmp(&sign(other));
        }
        let left = wide_product(self.num.unsigned_abs(), other.den.unsigned_abs());
        let right = wide_product(other.num.unsigned_abs(), self.den.unsigned_abs());
        if self.num < 0 { right.cmp(&left) } else { left.cmp(&right) }
    }

    pub(super) fn to_f64(self) -> f64 {
        self.num as f64 / self.den as f64
    }

    /// The decimal that is exactly this fraction, where there is one of at most 28 digits.
    pub(super) fn to_exact_decimal(self) -> Option<Decimal> {
        let (mut rest, mut twos, mut fives) = (self.den, 0u32, 0u32);
        while rest % 2 == 0 {
            (rest, twos) = (rest / 2, twos + 1);
        }
        while rest % 5 == 0 {
            (rest, fives) = (rest / 5, fives + 1);
        }
        let scale = twos.max(fives);
        if rest != 1 || scale > 28 {
            return None;
        }
        let mantissa = self.num.checked_mul(10i128.checked_pow(scale)? / self.den)?;
        Decimal::try_from_i128_with_scale(mantissa, scale).ok()
    }

    /// The decimal nearest to this fraction at 18 significant digits.
    pub(super) fn to_rounded_decimal(self) -> Option<Decimal> {
        let (mut digits, mut rest) =
            (self.num.unsigned_abs() / self.den.unsigned_abs(), self.num.unsigned_abs());
        let den = self.den.unsigned_abs();
        rest %= den;
        let mut scale = 0u32;
        while digits < 10u128.pow(ROUNDED_DIGITS - 1) && scale < 28 {
            rest = rest.checked_mul(10)?;
            digits = digits * 10 + rest / den;
            rest %= den;
            scale += 1;
        }
        let twice = rest.checked_mul(2)?;
        if twice > den || (twice == den && digits % 2 == 1) {
            digits += 1;
        }
        let mantissa = i128::try_from(digits).ok()? * self.num.signum();
        Decimal::try_from_i128_with_scale(mantissa, scale).ok().map(|d| d.normalize())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn products_of_128_bits_are_whole() {
        assert_eq!(wide_product(u128::MAX, u128::MAX), (u128::MAX - 1, 1));
        assert_eq!(wide_product(1 << 127, 6), (3, 0));
    }

    #[test]
    fn fractions_that_end_become_exact_decimals_and_others_do_not() {
        let exact = |n, d| Rational::new(n, d).unwrap().to_exact_decimal().map(|x| x.to_string());
        assert_eq!(exact(1, 8).as_deref(), Some("0.125"));
        assert_eq!(exact(-7, 20).as_deref(), Some("-0.35"));
        assert_eq!(exact(1, 3), None);
        assert_eq!(
            Rational::new(2, 3).unwrap().to_rounded_decimal().unwrap().to_string(),
            "0.666666666666666667"
        );
    }

    #[test]
    fn a_zero_denominator_is_no_fraction() {
        assert_eq!(Rational::new(1, 0), None);
        let zero = Rational::new(0, 5).unwrap();
        assert_eq!(Rational::new(1, 2).unwrap().over(zero), None);
    }

    proptest! {
        #[test]
        fn any_operation_answers_without_panic(a in any::<i128>(), b in any::<i128>(), c in any::<i128>(), d in any::<i128>()) {
            if let (Some(x), Some(y)) = (Rational::new(a, b), Rational::new(c, d)) {
                let _ = (x.times(y), x.over(y), x.plus(y), x.compare(y), x.to_f64());
                let _ = (x.to_exact_decimal(), x.to_rounded_decimal(), x.negated());
            }
        }

        #[test]
        fn small_sums_and_orders_agree_with_integers(a in -999i128..999, b in 1i128..999, c in -999i128..999, d in 1i128..999) {
            let (x, y) = (Rational::new(a, b).unwrap(), Rational::new(c, d).unwrap());
            prop_assert_eq!(x.compare(y), (a * d).cmp(&(c * b)));
            prop_assert_eq!(x.plus(y), Rational::new(a * d + c * b, b * d));
            prop_assert_eq!(x.plus(y).unwrap().plus(y.negated()), Some(x));
        }
    }
}
