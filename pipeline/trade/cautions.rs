//! What is said to whoever is about to buy or fit a part. Short sentences, shown beside answers
//! of the program; they do not replace the manual of the engine.
//!
//! Sources: public repair guides and service manuals of engine makers in English, German, French
//! and Spanish say the same in their own words; what stands in none of them is common practice.

/// A caution with the cue it is shown under.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Caution {
    /// One word that names the hazard or the step.
    pub cue: &'static str,
    /// What to do, in one or two sentences.
    pub wording: &'static str,
}

/// A locked engine need not be a broken starter. Common practice, no source.
pub const BEFORE_ORDERING: &[&str] = &[
    "See whether the shroud is dented and rubs on the fan or the cup",
    "Look for debris between the flywheel magnet and the ignition coil",
    "Take the spark plug out: fuel or oil in the cylinder locks an engine too",
    "Turn the flywheel by hand: if it stays locked with the starter off, the damage is inside the engine",
    "Uncouple the driven machine: a seized pump or generator feels like a seized engine",
    "Note the direction of pull before the old starter comes off; most go on in more than one position",
];

/// Safety, in the order of the work.
pub const SAFETY: &[Caution] = &[
    Caution {
        cue: "ignition",
        wording: "Stop the engine, let it cool, pull the spark plug cap and fasten it away from the plug. Close the fuel \
                  tap; take the battery's negative lead off if there is one.",
    },
    Caution {
        cue: "spring",
        wording: "The recoil spring is under tension and can fly out. Wear gloves and eye protection, let the reel unwind \
                  slowly under control, and leave the spring in its housing.",
    },
    Caution {
        cue: "pre-tension",
        wording: "With the rope pulled right out the reel must still turn about half a turn further. If it does not, take \
                  tension off.",
    },
    Caution {
        cue: "flooded engine",
        wording: "With the plug out, fuel sprays from its hole when the engine turns. Cover the hole with a cloth, stand \
                  aside, keep flames and sparks away, and earth or insulate the plug lead as the engine's manual says.",
    },
    Caution {
        cue: "guards",
        wording: "Never run the engine without its shroud, screen and guards: the cup and flywheel are open and the \
                  cooling air is missing.",
    },
    Caution {
        cue: "hands",
        wording: "Keep hands, hair and rope ends away from the flywheel and the cup. Never tie an emergency rope to the cup.",
    },
    Caution {
        cue: "kick-back",
        wording: "Pull slowly until it resists, then briskly. A kick-back can break bones.",
    },
    Caution {
        cue: "refit",
        wording: "Pull the rope out by 10 to 20 cm while the starter is set in place, so that the pawls engage and centre \
                  it; then tighten the screws evenly and lightly, to the torque of the engine's manual.",
    },
    Caution {
        cue: "check",
        wording: "Turn the engine over by hand first: the rope runs back freely, nothing rubs, the pawls let go. Run it with \
                  the guard on, and check the screws again after an hour.",
    },
];

/// What a cross-reference is not.
pub const LIMIT: &str =
    "A cross-reference is no release: compare holes, depth and cup with the old part before the engine runs";

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_caution_has_a_cue_of_its_own_and_says_something() {
        for (at, caution) in SAFETY.iter().enumerate() {
            assert!(
                SAFETY[..at].iter().all(|earlier| earlier.cue != caution.cue),
                "{}",
                caution.cue
            );
            assert!(
                caution.wording.ends_with('.') && !caution.wording.contains("  "),
                "{}",
                caution.cue
            );
        }
    }

    #[test]
    fn single_sentences_carry_no_full_stop() {
        assert!(BEFORE_ORDERING.iter().chain(&[LIMIT]).all(|line| !line.ends_with('.')));
    }
}
