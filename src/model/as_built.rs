//! What was measured after drilling, and the platform as it was built.

use super::{Anchor, Carrier, Hold, LoadPlace, Parts, Platform, PlatformError, Stem};
use crate::units::{Angle, Length, si};

/// Two lengths that differ by less are one (m): a hundredth of a millimetre.
const SAME: f64 = 1e-5;
/// Two angles that differ by less are one (rad): what a bar of a metre can not show.
const SAME_ANGLE: f64 = 1e-5;

/// What a check of the drawing says where there are measurements.
pub const DRAWING_ONLY: &str =
    "the layout has measurements as built; this is a check of the drawing";

/// What was measured on one anchor; what is not given is taken as it was drawn.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct AsBuilt {
    /// The anchor, by its place in the platform.
    pub anchor: usize,
    /// Depth of the hole in sound wood.
    pub depth: Option<Length>,
    /// How much deeper the hole is than the bar fills it.
    pub hole_over: Option<Length>,
    /// Boss in sound wood.
    pub boss_in_wood: Option<Length>,
    /// Thickness of the bark.
    pub bark: Option<Length>,
    /// From the wood surface, under the bark, to the line of the load, along the bar.
    pub arm: Option<Length>,
    /// How far the outer end is tilted up from level.
    pub tilt: Option<Angle>,
    /// Level over the site's zero.
    pub level: Option<Length>,
    /// Whether the bar could not be driven: it carries nothing.
    pub refused: bool,
    /// Whatever was seen.
    pub note: Option<String>,
}

/// What a measurement is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum BuiltKey {
    /// Boss in sound wood.
    BossInWood,
    /// Shank in sound wood.
    ShankInWood,
    /// Hole behind the tip that the bar does not fill.
    HoleOver,
    /// Thickness of the bark.
    Bark,
    /// Arm of the load.
    Arm,
    /// Tilt of the bar.
    Tilt,
    /// Level of the bar.
    Level,
}

impl BuiltKey {
    /// Its name in words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::BossInWood => "boss in the wood",
            Self::ShankInWood => "shank in the wood",
            Self::HoleOver => "empty hole behind the tip",
            Self::Bark => "bark",
            Self::Arm => "arm",
            Self::Tilt => "tilt, outer end up",
            Self::Level => "level",
        }
    }
}

/// A length or an angle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Dimension {
    /// A length.
    Length(Length),
    /// An angle.
    Angle(Angle),
}

impl Dimension {
    /// The value in SI base units (m or rad).
    pub fn si(self) -> f64 {
        match self {
            Self::Length(length) => length.value,
            Self::Angle(angle) => angle.value,
        }
    }
}

/// What differs between an anchor as drawn and as built.
#[derive(Debug, Clone, PartialEq)]
pub struct BuiltChange {
    /// Id of the anchor.
    pub anchor: String,
    /// What differs.
    pub what: BuiltKey,
    /// As drawn; none where the drawing does not say.
    pub designed: Option<Dimension>,
    /// As built.
    pub built: Dimension,
    /// Where it was not measured: what it follows from.
    pub follows: Option<&'static str>,
}

/// What was not measured on an anchor.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unmeasured {
    /// Id of the anchor.
    pub anchor: String,
    /// The keys of a row that are missing; none where the anchor has no row at all.
    pub keys: Option<Vec<&'static str>>,
}

/// A platform as it was built.
#[derive(Debug, Clone, PartialEq)]
pub struct Built {
    /// The platform.
    pub platform: Platform,
    /// What differs from the drawing, anchor by anchor.
    pub changes: Vec<BuiltChange>,
    /// What was not measured.
    pub missing: Vec<Unmeasured>,
    /// Ids of the anchors that refused: nothing bears on them any more.
    pub refused: Vec<String>,
    /// How the measurements were understood.
    pub remarks: Vec<String>,
}

impl Platform {
    /// The platform as it was built: what was measured in place of what was drawn.
    ///
    /// A hole that is too shallow shortens the shank and its thread by what is missing; beams follow load points that
    /// moved; nothing bears on an anchor that refused. An anchor without a row stays as drawn and is named as not
    /// assessed.
    ///
    /// # Errors
    /// No measurement at all, or every fault of the platform that they make.
    pub fn built(&self) -> Result<Built, Vec<PlatformError>> {
        if self.as_built().is_empty() {
            return Err(vec![PlatformError {
                part: "as built".into(),
                reason: "nothing was measured: give [[as_built]] rows".into(),
            }]);
        }
        let mut record = Record::default();
        let platform = self.with_parts(|parts| {
            for row in self.as_built() {
                record.set(row, parts);
            }
            for row in self.as_built().iter().filter(|row| row.refused) {
                record.take_out(row.anchor, parts);
            }
        })?;
        for anchor in self.unmeasured() {
            record.open.push(format!(
                "anchor {}, which was not measured",
                self.anchors()[anchor].id
            ));
        }
        let mut unassessed = self.unassessed().to_vec();
        unassessed.extend(record.open);
        let mut cautions = self.cautions().to_vec();
        cautions.retain(|caution| caution != DRAWING_ONLY);
        let refused = self.as_built().iter().filter(|row| row.refused);
        Ok(Built {
            platform: platform.with_unassessed(unassessed).with_cautions(cautions),
            changes: record.changes,
            missing: self.missing(),
            refused: refused
                .map(|row| self.anchors()[row.anchor].id.clone())
                .collect(),
            remarks: record.remarks,
        })
    }

    /// Places of the anchors without a row.
    fn unmeasured(&self) -> impl Iterator<Item = usize> + '_ {
        let has = |anchor: &usize| self.as_built().iter().any(|row| row.anchor == *anchor);
        (0..self.anchors().len()).filter(move |anchor| !has(anchor))
    }

    fn missing(&self) -> Vec<Unmeasured> {
        let rows = self.as_built().iter().filter(|row| !row.refused);
        let keys = rows.filter_map(|row| {
            let anchor = &self.anchors()[row.anchor];
            let keys: Vec<&'static str> = [
                ("depth", row.depth.is_some()),
                ("boss_in_wood", row.boss_in_wood.is_some()),
                ("bark", row.bark.is_some()),
                ("arm", row.arm.is_some()),
                ("tilt", row.tilt.is_some()),
                ("level", row.level.is_some() || anchor.level.is_none()),
            ]
            .into_iter()
            .filter_map(|(key, given)| (!given).then_some(key))
            .collect();
            (!keys.is_empty()).then(|| Unmeasured {
                anchor: anchor.id.clone(),
                keys: Some(keys),
            })
        });
        let none = self.unmeasured().map(|anchor| Unmeasured {
            anchor: self.anchors()[anchor].id.clone(),
            keys: None,
        });
        none.chain(keys).collect()
    }
}

/// What is noted while measurements are set in place of the drawing.
#[derive(Default)]
struct Record {
    changes: Vec<BuiltChange>,
    remarks: Vec<String>,
    /// What nothing here can assess.
    open: Vec<String>,
}

impl Record {
    /// Sets what was measured on one anchor.
    fn set(&mut self, row: &AsBuilt, parts: &mut Parts) {
        let Some(drawn) = parts.anchors.get(row.anchor).cloned() else {
            return;
        };
        let Some(drawn_stem) = parts.stems.get(drawn.stem).cloned() else {
            return;
        };
        let mut stem = drawn_stem.clone();
        let mut anchor = drawn.clone();
        if let Some(bark) = row.bark.filter(|bark| differ(*bark, stem.bark)) {
            stem.bark = bark;
            parts.stems.push(stem.clone());
            anchor.stem = parts.stems.len() - 1;
        }
        self.depth(row, &mut anchor, &stem);
        if let Some(tilt) = row.tilt {
            anchor.tilt = tilt;
        }
        if let Some(level) = row.level {
            anchor.level = Some(level);
        }
        // Where the arm was not measured, the load stays where it was drawn.
        let out = drawn_stem.wood_radius() + drawn.arm * drawn.tilt.value.cos();
        let stays = if stem == drawn_stem && anchor.tilt == drawn.tilt {
            drawn.arm
        } else {
            (out - stem.wood_radius()) / anchor.tilt.value.cos()
        };
        anchor.arm = row.arm.unwrap_or(stays);
        self.compare(row, (&drawn, &drawn_stem), (&anchor, &stem));
        let (from, to) = (drawn.load_point(&drawn_stem), anchor.load_point(&stem));
        if level_differs(drawn.level, anchor.level) && parts.carries_beam(row.anchor) {
            self.remarks.push(format!(
                "anchor {}: the seat is taken as packed to the level of its beam",
                anchor.id
            ));
        }
        parts.anchors[row.anchor] = anchor;
        let kept = parts.seats_follow(row.anchor, from, to);
        self.remarks.extend(kept);
    }

    /// Sets boss, shank and empty hole.
    fn depth(&mut self, row: &AsBuilt, anchor: &mut Anchor, stem: &Stem) {
        let boss = row.boss_in_wood.unwrap_or_else(|| anchor.sound_boss(stem));
        anchor.embedded = boss + stem.soft;
        let nothing = si::metres(0.0);
        anchor.empty = row.hole_over.unwrap_or(nothing);
        if let Some(depth) = row.depth {
            let shank = shank_length(anchor);
            let room = (depth - anchor.empty - boss).max(nothing);
            anchor.empty += (room - shank).max(nothing);
            if (shank - room).value > SAME {
                self.shallow(row, anchor, shank - room);
            }
        }
        if anchor.empty.value > SAME {
            self.remarks.push(format!(
                "anchor {}: the empty hole behind the tip bears and holds nothing; it counts in the depth of the hole",
                anchor.id
            ));
        }
    }

    /// A hole into which the bar does not go whole.
    fn shallow(&mut self, row: &AsBuilt, anchor: &mut Anchor, by: Length) {
        shorten(anchor, by);
        self.remarks.push(format!(
            "anchor {}: the hole is shallower than the bar; the bar is taken as cut to it, thread and all",
            anchor.id
        ));
        if row.boss_in_wood.is_none() {
            self.open.push(format!(
                "anchor {}: its hole is too shallow, and how much of the boss is in the wood was not measured",
                anchor.id
            ));
        }
    }

    fn compare(&mut self, row: &AsBuilt, drawn: (&Anchor, &Stem), built: (&Anchor, &Stem)) {
        let of = |(anchor, stem): (&Anchor, &Stem)| {
            [
                (BuiltKey::BossInWood, anchor.sound_boss(stem)),
                (BuiltKey::ShankInWood, shank_length(anchor)),
                (BuiltKey::HoleOver, anchor.empty),
                (BuiltKey::Bark, stem.bark),
                (BuiltKey::Arm, anchor.arm),
            ]
        };
        for ((what, designed), (_, now)) in of(drawn).into_iter().zip(of(built)) {
            if differ(designed, now) {
                let follows = match what {
                    BuiltKey::Arm if row.arm.is_none() => Some("bark and tilt"),
                    BuiltKey::ShankInWood => Some("depth"),
                    BuiltKey::HoleOver if row.hole_over.is_none() => Some("depth"),
                    _ => None,
                };
                self.change(
                    built.0,
                    what,
                    Some(Dimension::Length(designed)),
                    Dimension::Length(now),
                    follows,
                );
            }
        }
        if (built.0.tilt - drawn.0.tilt).value.abs() > SAME_ANGLE {
            let [designed, now] = [drawn.0.tilt, built.0.tilt].map(Dimension::Angle);
            self.change(built.0, BuiltKey::Tilt, Some(designed), now, None);
        }
        if let (true, Some(level)) = (level_differs(drawn.0.level, built.0.level), built.0.level) {
            let designed = drawn.0.level.map(Dimension::Length);
            self.change(
                built.0,
                BuiltKey::Level,
                designed,
                Dimension::Length(level),
                None,
            );
        }
    }

    fn change(
        &mut self,
        anchor: &Anchor,
        what: BuiltKey,
        designed: Option<Dimension>,
        built: Dimension,
        follows: Option<&'static str>,
    ) {
        self.changes.push(BuiltChange {
            anchor: anchor.id.clone(),
            what,
            designed,
            built,
            follows,
        });
    }

    /// Takes everything off an anchor that refused; what then hangs on nothing is named.
    fn take_out(&mut self, index: usize, parts: &mut Parts) {
        let Some(id) = parts.anchors.get(index).map(|anchor| anchor.id.clone()) else {
            return;
        };
        for beam in &mut parts.beams {
            beam.supports
                .retain(|support| support.carrier != Carrier::Anchor(index));
        }
        let mut lost = Vec::new();
        parts.braces.retain(|brace| {
            let stays = brace.anchor != index;
            lost.extend((!stays).then(|| format!("brace {}", brace.id)));
            stays
        });
        parts.loads.retain(|load| {
            let stays = load.place != LoadPlace::Anchor(index);
            lost.extend((!stays).then(|| format!("load {}", load.id)));
            stays
        });
        parts.hammocks.retain(|hammock| {
            let stays = !hammock.ends.contains(&Hold::Anchor(index));
            lost.extend((!stays).then(|| format!("hammock {}", hammock.id)));
            stays
        });
        for anchor in &mut parts.anchors {
            anchor.rod = anchor.rod.filter(|other| *other != index);
        }
        parts.anchors[index].rod = None;
        let lost = lost
            .into_iter()
            .map(|part| format!("{part}, whose anchor {id} refused"));
        self.open
            .push(format!("anchor {id}, which refused: nothing bears on it"));
        self.open.extend(lost);
    }
}

fn differ(one: Length, other: Length) -> bool {
    (one - other).value.abs() > SAME
}

fn level_differs(one: Option<Length>, other: Option<Length>) -> bool {
    match (one, other) {
        (Some(one), Some(other)) => differ(one, other),
        (one, other) => one.is_some() != other.is_some(),
    }
}

fn shank_length(anchor: &Anchor) -> Length {
    let pieces = anchor.size.shank.iter().map(|piece| piece.length);
    pieces.fold(si::metres(0.0), |sum, length| sum + length)
}

/// Takes a length off the tip: of the shank, and of the thread that was there.
fn shorten(anchor: &mut Anchor, by: Length) {
    let nothing = si::metres(0.0);
    let mut left = by;
    for piece in anchor.size.shank.iter_mut().rev() {
        let cut = left.min(piece.length);
        piece.length -= cut;
        left -= cut;
    }
    anchor.size.shank.retain(|piece| piece.length > nothing);
    anchor.size.thread_length = (anchor.size.thread_length - by).max(nothing);
}
