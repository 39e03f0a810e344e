//! What the hard claims of two records say of each other: holes, displacement, bolt circle, thread.
//!
//! A side that claims nothing neither agrees nor contradicts; one contradiction outweighs all that agrees.

use super::records::HardClaims;

/// 1 at least one interface claim agrees and none contradicts, 2 one contradicts, 0 nothing in common.
pub(super) fn claim_level(a: &HardClaims, b: &HardClaims) -> u8 {
    let mut agree = false;
    let mut judge = |both: bool, same: bool| -> bool {
        agree |= both && same;
        both && !same
    };
    let apart = |x: (f32, f32), y: (f32, f32), slack: f32| x.1 * (1.0 + slack) < y.0 || y.1 * (1.0 + slack) < x.0;
    let against = judge(a.holes > 0 && b.holes > 0, a.holes == b.holes)
        | judge(
            a.displacement.1 > 0.0 && b.displacement.1 > 0.0,
            !apart(a.displacement, b.displacement, 0.06),
        )
        | judge(a.circle.1 > 0.0 && b.circle.1 > 0.0, !apart(a.circle, b.circle, 0.02))
        | judge(a.threads != 0 && b.threads != 0, a.threads & b.threads != 0);
    if against { 2 } else { u8::from(agree) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn claims_contradict_only_when_both_sides_claim() {
        let three = HardClaims {
            holes: 3,
            ..HardClaims::default()
        };
        let four = HardClaims {
            holes: 4,
            ..HardClaims::default()
        };
        assert_eq!(claim_level(&three, &HardClaims::default()), 0);
        assert_eq!(claim_level(&three, &three), 1);
        assert_eq!(claim_level(&three, &four), 2);
    }

    #[test]
    fn the_nominal_displacement_agrees_with_the_swept_one() {
        let nominal = HardClaims {
            displacement: (200.0, 200.0),
            ..HardClaims::default()
        };
        let swept = HardClaims {
            displacement: (196.0, 196.0),
            ..HardClaims::default()
        };
        assert_eq!(claim_level(&nominal, &swept), 1);
    }

    #[test]
    fn claims_that_overlap_agree_and_claims_apart_contradict() {
        let circle = |low: f32, high: f32| HardClaims {
            circle: (low, high),
            ..HardClaims::default()
        };
        assert_eq!(claim_level(&circle(117.5, 118.5), &circle(118.0, 119.0)), 1);
        assert_eq!(claim_level(&circle(117.5, 118.5), &circle(139.5, 140.5)), 2);
        assert_eq!(claim_level(&circle(139.5, 140.5), &circle(117.5, 118.5)), 2);
        assert_eq!(claim_level(&circle(117.5, 118.5), &circle(0.0, 0.0)), 0);
        let threads = |threads: u64| HardClaims {
            threads,
            ..HardClaims::default()
        };
        assert_eq!(claim_level(&threads(0b011), &threads(0b110)), 1, "one thread in common");
        assert_eq!(claim_level(&threads(0b001), &threads(0b110)), 2);
        assert_eq!(claim_level(&threads(0b001), &threads(0)), 0);
        let large = |cc: f32| HardClaims {
            displacement: (cc, cc),
            ..HardClaims::default()
        };
        assert_eq!(claim_level(&large(196.0), &large(389.0)), 2);
        assert_eq!(claim_level(&large(389.0), &large(196.0)), 2);
        let agrees_and_contradicts = HardClaims {
            threads: 0b100,
            ..circle(118.0, 118.0)
        };
        let other = HardClaims {
            threads: 0b001,
            ..circle(118.0, 118.0)
        };
        assert_eq!(
            claim_level(&agrees_and_contradicts, &other),
            2,
            "a contradiction outweighs"
        );
    }
}
