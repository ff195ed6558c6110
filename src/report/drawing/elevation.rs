//! An anchor in section: x runs inward from the sound wood, to the right on the paper.

use super::paper::{Counting, Scale, ScaleBar, WIDTH, frame};
use super::pen::{self, Pen, SMALL, Stand, TEXT};
use super::tape_small;
use crate::checks::Attachment;
use crate::model::{Anchor, Stem};
use crate::report::markup::Element;
use crate::units::kind::Force;
use crate::units::{Length, Show, print, si};

/// Room left and right of the section (mm).
const SIDE: f64 = 8.0;
/// Room above it for the load (mm).
const ABOVE: f64 = 19.0;
/// Room below it for dimensions and the scale bar (mm).
const BELOW: f64 = 33.5;
/// How much stem is drawn above and below the bar, over the largest diameter (1).
const STEM: f64 = 0.42;

/// The tallest piece of stem (mm), so that the diagrams along the bar share its sheet.
const TALLEST: f64 = 45.0;

/// The bar along the paper.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Along {
    pub(super) scale: Scale,
    /// x at the left edge of what is drawn (m).
    from: f64,
    /// x at its right edge (m).
    to: f64,
    left: f64,
}

impl Along {
    /// The piece of life that is drawn, and the scale at which it fits the paper.
    pub(super) fn new(anchor: &Anchor, stem: &Stem, show: Show) -> Self {
        let arm = anchor.sound_arm(stem);
        let depth = anchor.sound_length(stem);
        let boss = anchor.size.boss.length - anchor.sound_boss(stem);
        let outward = arm.max(boss).max(stem.soft + stem.bark).value;
        let whole = outward + depth.value;
        let from = -outward - 0.08 * whole;
        let to = depth.value + 0.14 * whole;
        let height = widest(anchor).value * (1.0 + 2.0 * STEM);
        let room = [WIDTH - 2.0 * SIDE, TALLEST];
        let scale = Scale::fitting([to - from, height], room, show);
        let idle = WIDTH - 2.0 * SIDE - scale.paper(to - from);
        Self {
            left: SIDE + idle / 2.0,
            scale,
            from,
            to,
        }
    }

    /// Where x (m) lies on the paper (mm).
    pub(super) fn at(&self, x: f64) -> f64 {
        self.left + self.scale.paper(x - self.from)
    }

    /// The paper that the section takes (mm).
    pub(super) fn ends(&self) -> [f64; 2] {
        [self.at(self.from), self.at(self.to)]
    }
}

/// Draws the section.
pub(super) fn draw(anchor: &Anchor, stem: &Stem, attachment: &Attachment, show: Show) -> String {
    let along = Along::new(anchor, stem, show);
    let half = along.scale.paper(widest(anchor).value) * (0.5 + STEM);
    let section = Section {
        anchor,
        stem,
        along: &along,
        show,
        axis: ABOVE + half,
        top: ABOVE,
        bottom: ABOVE + 2.0 * half,
    };
    let title = format!("Anchor {} in section, {}", anchor.id, along.scale.name);
    frame(
        section.bottom + BELOW,
        &title,
        &section.description(attachment),
    )
    .holding(section.stem())
    .holding(section.bar())
    .holding(section.load(attachment))
    .holding(section.dimensions())
    .holding(section.foot())
    .write()
}

struct Section<'a> {
    anchor: &'a Anchor,
    stem: &'a Stem,
    along: &'a Along,
    show: Show,
    axis: f64,
    top: f64,
    bottom: f64,
}

impl Section<'_> {
    fn tape(&self, length: Length) -> String {
        tape_small(length, self.show)
    }

    fn description(&self, attachment: &Attachment) -> String {
        let (anchor, stem) = (self.anchor, self.stem);
        format!(
            "From the left: the line of the load, {} from the wood; bark of {}; wood. The boss of {} diameter stands {} \
             deep, the shank reaches {} deep. The load down is {} under {}.",
            self.tape(anchor.arm),
            self.tape(stem.bark),
            self.tape(anchor.size.boss.bears),
            self.tape(anchor.embedded),
            self.tape(depth(anchor)),
            force(attachment.load().down_n, self.show),
            attachment.load().combination,
        )
    }

    /// Bark, soft wood, sound wood with its grain, the middle of the stem if it is near.
    fn stem(&self) -> Element {
        let soft = self.stem.soft.value;
        let (surface, bark) = (-soft, -soft - self.stem.bark.value);
        let [_, right] = self.along.ends();
        let x = |metres: f64| self.along.at(metres);
        let (top, bottom) = (self.top, self.bottom);
        let wood = ([x(0.0), top], [right, bottom]);
        let mut group = Element::new("g")
            .holding(pen::rect(wood.0, wood.1, Pen::NONE, "#f7f0e2"))
            .holding(grain(wood.0, wood.1));
        if soft > 0.0 {
            let (a, b) = ([x(surface), top], [x(0.0), bottom]);
            group = group
                .holding(pen::rect(a, b, Pen::FAINT, "#fff"))
                .holding(pen::hatch(a, b, 1.2, Pen::FAINT));
        }
        if self.stem.bark.value > 0.0 {
            let (a, b) = ([x(bark), top], [x(surface), bottom]);
            group = group
                .holding(pen::rect(a, b, Pen::FINE, "#d9d2c6"))
                .holding(pen::hatch(a, b, 2.4, Pen::solid(0.18, "#8d8478")));
        }
        let pith = (self.stem.wood_radius() - self.stem.soft).value;
        if x(pith) < right {
            group = group
                .holding(pen::line([x(pith), top], [x(pith), bottom], Pen::AXIS))
                .holding(pen::words(
                    "centre of the stem",
                    [x(pith), top - 1.0],
                    SMALL,
                    Stand::Middle,
                ));
        }
        group.holding(pen::line(
            [x(surface), top],
            [x(surface), bottom],
            Pen::HEAVY,
        ))
    }

    /// Boss, shank with its root, and what of the bar lies outside of the boss.
    fn bar(&self) -> Element {
        let anchor = self.anchor;
        let boss_end = anchor.sound_boss(self.stem).value;
        let boss_start = boss_end - anchor.size.boss.length.value;
        let load = -anchor.sound_arm(self.stem).value;
        let mut group = Element::new("g");
        if load < boss_start
            && let Some(piece) = anchor.size.shank.first()
        {
            let beyond = load - 0.25 * piece.bears.value;
            group = group.holding(self.piece([beyond, boss_start], piece.bears, "#dcdcdc"));
        }
        let mut from = boss_end;
        for piece in &anchor.size.shank {
            let to = from + piece.length.value;
            group = group.holding(self.piece([from, to], piece.bears, "#dcdcdc"));
            if piece.resists < piece.bears {
                let root = self.along.scale.paper(piece.resists.value) / 2.0;
                group = group.holding_all([-root, root].map(|off| {
                    let y = self.axis + off;
                    pen::line(
                        [self.along.at(from), y],
                        [self.along.at(to), y],
                        Pen::HIDDEN,
                    )
                }));
            }
            from = to;
        }
        group
            .holding(self.piece([boss_start, boss_end], anchor.size.boss.bears, "#9a9a9a"))
            .holding(self.sizes())
            .holding(pen::line(
                [self.along.ends()[0], self.axis],
                [self.along.ends()[1], self.axis],
                Pen::AXIS,
            ))
    }

    fn piece(&self, x: [f64; 2], diameter: Length, fill: &'static str) -> Element {
        let half = self.along.scale.paper(diameter.value) / 2.0;
        pen::rect(
            [self.along.at(x[0]), self.axis - half],
            [self.along.at(x[1]), self.axis + half],
            Pen::MEDIUM,
            fill,
        )
    }

    /// Diameters, written beside their pieces.
    fn sizes(&self) -> Element {
        let anchor = self.anchor;
        let boss_end = anchor.sound_boss(self.stem).value;
        let half = |diameter: Length| self.along.scale.paper(diameter.value) / 2.0;
        let boss = format!("boss ⌀ {}", self.tape(anchor.size.boss.bears));
        let boss_x = self
            .along
            .at(boss_end - anchor.size.boss.length.value / 2.0);
        let mut group = Element::new("g").holding(pen::masked(
            &boss,
            [boss_x, self.axis + half(anchor.size.boss.bears) + 3.6],
            TEXT,
            Stand::Middle,
        ));
        let mut from = boss_end;
        for piece in &anchor.size.shank {
            let middle = self.along.at(from + piece.length.value / 2.0);
            let y = self.axis + half(piece.bears) + 3.6;
            let name = format!("shank ⌀ {}", self.tape(piece.bears));
            group = group.holding(pen::masked(&name, [middle, y], TEXT, Stand::Middle));
            if piece.resists < piece.bears {
                let root = format!("root ⌀ {}", self.tape(piece.resists));
                group = group.holding(pen::masked(&root, [middle, y + 3.6], TEXT, Stand::Middle));
            }
            from += piece.length.value;
        }
        group
    }

    /// The load that governs: down, to the side, along the bar.
    fn load(&self, attachment: &Attachment) -> Element {
        let load = attachment.load();
        let x = self.along.at(-self.anchor.sound_arm(self.stem).value);
        let (tail, tip) = ([x, 9.5], [x, self.axis]);
        let down = if load.down_n < 0.0 {
            pen::arrow(tip, tail, Pen::HEAVY)
        } else {
            pen::arrow(tail, tip, Pen::HEAVY)
        };
        let mut said = vec![format!("down {}", force(load.down_n, self.show))];
        if load.side_n != 0.0 {
            said.push(format!("side ± {}", force(load.side_n.abs(), self.show)));
        }
        if load.out_n.abs() >= 0.5 {
            let way = if load.out_n > 0.0 { "out" } else { "in" };
            said.push(format!("{way} {}", force(load.out_n.abs(), self.show)));
        }
        let said = said.join(", ");
        let combination = format!("load under {}", load.combination);
        let place = [(x + 2.5).min(WIDTH - pen::width(&said, TEXT)), 9.0];
        let surface = self.along.at(-self.stem.soft.value);
        Element::new("g")
            .holding(down)
            .holding(pen::words(
                &combination,
                [place[0], 4.6],
                SMALL,
                Stand::Start,
            ))
            .holding(pen::bold(&said, place, TEXT, Stand::Start))
            .holding(pen::words(
                "wood surface, under the bark",
                [surface + 1.2, self.top - 1.6],
                SMALL,
                Stand::Start,
            ))
            .holding(pen::line(
                [surface, self.top - 4.0],
                [surface, self.top],
                Pen::FINE,
            ))
    }

    /// Three chains of dimensions under the section.
    fn dimensions(&self) -> Element {
        let (anchor, stem) = (self.anchor, self.stem);
        let soft = stem.soft.value;
        let (surface, bark) = (-soft, -soft - stem.bark.value);
        let load = -anchor.sound_arm(stem).value;
        let boss = anchor.sound_boss(stem).value;
        let tip = anchor.sound_length(stem).value;
        let row = |k: f64| self.bottom + 5.0 + 7.6 * k;
        let x = |a: f64, b: f64| [self.along.at(a), self.along.at(b)];
        let down = [load, bark, surface, boss, tip]
            .map(|at| self.along.at(at))
            .map(|at| [[at, self.bottom + 1.0], [at, row(2.0) + 1.0]]);
        let mut group = Element::new("g").holding(pen::strokes(down, Pen::FAINT));
        let shank = anchor
            .size
            .shank
            .iter()
            .fold(si::metres(0.0), |sum, piece| sum + piece.length);
        for (ends, at, length, name) in [
            (x(load, surface), 0.0, anchor.arm, "arm"),
            (x(surface, boss), 0.0, anchor.embedded, "boss in wood"),
            (x(boss, tip), 0.0, shank, "shank"),
            (x(bark, surface), 1.0, stem.bark, "bark"),
            (x(surface, tip), 1.0, depth(anchor), "depth from the wood"),
            (
                x(bark, tip),
                2.0,
                depth(anchor) + stem.bark,
                "depth from the bark",
            ),
        ] {
            if length.value > 0.0 {
                group = group.holding(pen::level_dimension(
                    ends,
                    row(at),
                    &self.tape(length),
                    name,
                ));
            }
        }
        group
    }

    fn foot(&self) -> Element {
        let y = self.bottom + 27.0;
        let bar = ScaleBar::new(&self.along.scale, Counting::Small, self.show, 50.0);
        let note = format!("Scale {} printed at full size", self.along.scale.name);
        Element::new("g")
            .holding(bar.draw([4.0, y]))
            .holding(pen::words(&note, [WIDTH - 4.0, y + 1.6], SMALL, Stand::End))
            .holding(pen::words(
                "grain runs up the page; the dashed lines of the shank are the root of its thread",
                [WIDTH - 4.0, y + 5.2],
                SMALL,
                Stand::End,
            ))
    }
}

/// Everything in the wood, soft or sound, from its surface under the bark.
pub(in crate::report) fn depth(anchor: &Anchor) -> Length {
    anchor
        .size
        .shank
        .iter()
        .fold(anchor.embedded, |sum, piece| sum + piece.length)
}

/// The largest diameter of the bar.
fn widest(anchor: &Anchor) -> Length {
    let shank = anchor.size.shank.iter().map(|piece| piece.bears);
    shank.fold(anchor.size.boss.bears, Length::max)
}

fn force(newtons: f64, show: Show) -> String {
    print::<Force>(si::newtons(newtons), show)
}

/// Thin upright lines.
fn grain(a: [f64; 2], b: [f64; 2]) -> Element {
    let mut lines = Vec::new();
    let mut x = a[0] + 3.0;
    // Not evenly spaced, as rings are not.
    let mut step = 4.2;
    while x < b[0] {
        lines.push([[x, a[1]], [x, b[1]]]);
        step = if step > 4.0 { 3.1 } else { 4.2 };
        x += step;
    }
    pen::strokes(lines, Pen::solid(0.15, "#dccfae"))
}
