//! Cockpit load: smallest and largest, the mass of the non-lifting parts, and what a repair mass changes.
//!
//! Placards follow the type's manual and are signed by whoever may; these figures prepare and check them.

use super::input::{InputError, finite, not_negative, positive};

/// Version of the method, recorded beside each result.
pub const METHOD: &str = "loading/1";

/// The glider as weighed, and the type's limits. Arms from the datum, aft positive, in one unit.
///
/// Masses that are always aboard (ballast, baggage) are added with [`Loading::with_mass_added`] first.
/// In a two-seater `cockpit_arm` is that of the seat to which the asked-for load belongs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Loading {
    pub empty_kg: f64,
    pub empty_cg: f64,
    pub cockpit_arm: f64,
    pub forward_limit: f64,
    pub aft_limit: f64,
    pub max_mass_kg: f64,
    /// Mass of the lifting parts within the empty mass (wings; the manual says whether the tailplane counts).
    pub lifting_parts_kg: Option<f64>,
    /// The manual's largest mass of non-lifting parts, cockpit load included.
    pub max_non_lifting_kg: Option<f64>,
    /// The manual's own smallest and largest load of the seat.
    pub seat_min_kg: f64,
    pub seat_max_kg: f64,
}

/// What sets a load.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Governs {
    AftLimit,
    ForwardLimit,
    MaxMass,
    NonLiftingParts,
    Seat,
}

/// A load in kg and what sets it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Load {
    pub kg: f64,
    pub governs: Governs,
}

/// The permitted range, from the smallest to the largest load.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CockpitLoads {
    pub min: Load,
    pub max: Load,
    /// Empty mass less the lifting parts, kg.
    pub non_lifting_empty_kg: Option<f64>,
}

impl CockpitLoads {
    /// False when no load is permitted: the glider needs ballast, or a weighing that is right.
    pub fn any_permitted(&self) -> bool {
        self.min.kg <= self.max.kg
    }
}

impl Loading {
    fn check(&self) -> Result<(), InputError> {
        positive(mark!("empty mass"), self.empty_kg, "kg")?;
        positive(mark!("maximum mass"), self.max_mass_kg, "kg")?;
        not_negative(mark!("smallest seat load"), self.seat_min_kg, "kg")?;
        positive(mark!("largest seat load"), self.seat_max_kg, "kg")?;
        for (what, arm) in [
            (mark!("empty centre of gravity"), self.empty_cg),
            (mark!("cockpit arm"), self.cockpit_arm),
            (mark!("forward limit"), self.forward_limit),
            (mark!("aft limit"), self.aft_limit),
        ] {
            finite(what, arm)?;
        }
        if self.forward_limit >= self.aft_limit {
            let reason = mark!("the forward limit is not ahead of the aft limit; aft is positive");
            return Err(InputError::Unusable { what: mark!("centre-of-gravity limits"), reason });
        }
        if self.cockpit_arm >= self.aft_limit {
            let reason = mark!(
                "the seat is not ahead of the aft limit, so no load there moves it forward; check the arm's sign"
            );
            return Err(InputError::Unusable { what: mark!("cockpit arm"), reason });
        }
        if self.lifting_parts_kg.is_some_and(|kg| !(kg > 0.0 && kg < self.empty_kg)) {
            let reason = mark!("it has to be above zero and below the empty mass");
            return Err(InputError::Unusable { what: mark!("mass of the lifting parts"), reason });
        }
        Ok(())
    }

    /// Load that brings the centre of gravity to `limit`: `M (x_e - x) / (x - x_p)`.
    fn load_at(&self, limit: f64) -> f64 {
        self.empty_kg * (self.empty_cg - limit) / (limit - self.cockpit_arm)
    }

    /// Smallest and largest cockpit load with what sets each.
    ///
    /// Source: moment balance.
    ///
    /// # Errors
    /// Values that contradict each other or are not finite; a non-lifting limit without the mass of the lifting parts.
    pub fn cockpit_loads(&self) -> Result<CockpitLoads, InputError> {
        self.check()?;
        let by_cg = self.load_at(self.aft_limit);
        let min = if by_cg > self.seat_min_kg {
            Load { kg: by_cg, governs: Governs::AftLimit }
        } else {
            Load { kg: self.seat_min_kg, governs: Governs::Seat }
        };
        let non_lifting_empty_kg = self.lifting_parts_kg.map(|kg| self.empty_kg - kg);
        let mut candidates = vec![
            Load { kg: self.seat_max_kg, governs: Governs::Seat },
            Load { kg: self.max_mass_kg - self.empty_kg, governs: Governs::MaxMass },
        ];
        // A seat aft of the forward limit can never bring the centre of gravity in front of it.
        if self.cockpit_arm < self.forward_limit {
            candidates.push(Load { kg: self.load_at(self.forward_limit), governs: Governs::ForwardLimit });
        }
        match (self.max_non_lifting_kg, non_lifting_empty_kg) {
            (Some(limit), Some(parts)) => {
                positive(mark!("limit of the non-lifting parts"), limit, "kg")?;
                candidates.push(Load { kg: limit - parts, governs: Governs::NonLiftingParts });
            }
            (Some(_), None) => {
                let reason = mark!(
                    "the mass of the lifting parts is missing; weigh the wings or take it from the records"
                );
                return Err(InputError::Unusable { what: mark!("limit of the non-lifting parts"), reason });
            }
            (None, _) => {}
        }
        let first = candidates[0];
        let max =
            candidates.into_iter().fold(first, |least, load| if load.kg < least.kg { load } else { least });
        Ok(CockpitLoads { min, max, non_lifting_empty_kg })
    }

    /// The same glider with a mass added (or, negative, removed) at an arm; `lifting` when it is part of the wing.
    ///
    /// # Errors
    /// Values that are not finite; a new empty mass that is not above zero.
    pub fn with_mass_added(&self, mass_kg: f64, arm: f64, lifting: bool) -> Result<Self, InputError> {
        let empty_kg =
            positive(mark!("new empty mass"), self.empty_kg + finite(mark!("added mass"), mass_kg)?, "kg")?;
        let moment = self.empty_kg * finite(mark!("empty centre of gravity"), self.empty_cg)?;
        let empty_cg = (moment + mass_kg * finite(mark!("arm of the added mass"), arm)?) / empty_kg;
        let lifting_parts_kg = self.lifting_parts_kg.map(|kg| if lifting { kg + mass_kg } else { kg });
        Ok(Self { empty_kg, empty_cg, lifting_parts_kg, ..*self })
    }
}

/// Increase of the smallest cockpit load per kg added at `arm`: `(x_t - x_a) / (x_a - x_p)`.
///
/// # Errors
/// A seat that is not ahead of the aft limit; values that are not finite.
pub fn min_load_increase_per_kg(arm: f64, aft_limit: f64, cockpit_arm: f64) -> Result<f64, InputError> {
    let lever = finite(mark!("aft limit"), aft_limit)? - finite(mark!("cockpit arm"), cockpit_arm)?;
    positive(mark!("distance from seat to aft limit"), lever, "")?;
    Ok((finite(mark!("arm of the added mass"), arm)? - aft_limit) / lever)
}

/// A load that is a whole number of kg in decimals stays that number, whatever the last bit of its float.
const PLACARD_NOISE_KG: f64 = 1e-9;

/// The number on the placard for a smallest load: rounded up to whole kg, never to the nearest.
pub fn placard_min_kg(min_kg: f64) -> f64 {
    (min_kg - PLACARD_NOISE_KG).ceil()
}

/// The number on the placard for a largest load: rounded down to whole kg.
pub fn placard_max_kg(max_kg: f64) -> f64 {
    (max_kg + PLACARD_NOISE_KG).floor()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Invented glider, kg and m.
    fn glider() -> Loading {
        Loading {
            empty_kg: 352.0,
            empty_cg: 0.585,
            cockpit_arm: -0.550,
            forward_limit: 0.150,
            aft_limit: 0.340,
            max_mass_kg: 525.0,
            lifting_parts_kg: Some(200.0),
            max_non_lifting_kg: Some(260.0),
            seat_min_kg: 70.0,
            seat_max_kg: 110.0,
        }
    }

    #[test]
    fn the_loaded_centre_of_gravity_stands_on_the_limit() {
        let loads = glider().cockpit_loads().unwrap();
        let loaded = glider().with_mass_added(loads.min.kg, -0.550, false).unwrap();
        assert!((loaded.empty_cg - 0.340).abs() < 1e-12);
        assert_eq!(loads.min.governs, Governs::AftLimit);
        let roomy = Loading { seat_max_kg: 500.0, max_mass_kg: 900.0, max_non_lifting_kg: None, ..glider() };
        let max = roomy.cockpit_loads().unwrap().max;
        assert_eq!(max.governs, Governs::ForwardLimit);
        let loaded = roomy.with_mass_added(max.kg, -0.550, false).unwrap();
        assert!((loaded.empty_cg - 0.150).abs() < 1e-12);
    }

    #[test]
    fn the_tightest_limit_sets_the_largest_load() {
        let max = |loading: Loading| loading.cockpit_loads().unwrap().max;
        assert_eq!(max(glider()), Load { kg: 108.0, governs: Governs::NonLiftingParts });
        let unlimited = Loading { max_non_lifting_kg: None, ..glider() };
        assert_eq!(max(unlimited), Load { kg: 110.0, governs: Governs::Seat });
        assert_eq!(
            max(Loading { max_mass_kg: 450.0, ..unlimited }),
            Load { kg: 98.0, governs: Governs::MaxMass }
        );
    }

    #[test]
    fn the_type_minimum_holds_when_the_balance_asks_for_less() {
        let loads = Loading { empty_cg: 0.2, ..glider() }.cockpit_loads().unwrap();
        assert_eq!(loads.min, Load { kg: 70.0, governs: Governs::Seat });
    }

    #[test]
    fn a_tail_too_heavy_permits_no_load() {
        let loads = glider().with_mass_added(8.0, 4.3, false).unwrap().cockpit_loads().unwrap();
        assert!(!loads.any_permitted());
    }

    #[test]
    fn placards_round_to_the_safe_side() {
        assert_eq!((placard_min_kg(70.01), placard_max_kg(109.99)), (71.0, 109.0));
        assert_eq!((placard_min_kg(70.0 + 1e-13), placard_max_kg(110.0 - 1e-13)), (70.0, 110.0));
    }

    #[test]
    fn contradictions_are_refused() {
        assert!(Loading { cockpit_arm: 0.4, ..glider() }.cockpit_loads().is_err());
        assert!(Loading { forward_limit: 0.5, ..glider() }.cockpit_loads().is_err());
        assert!(Loading { lifting_parts_kg: None, ..glider() }.cockpit_loads().is_err());
        assert!(Loading { lifting_parts_kg: Some(400.0), ..glider() }.cockpit_loads().is_err());
    }
}
