//! A second opinion on every example and on a thousand platforms that nobody drew.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use barkline::Layout;
use barkline::model::Platform;
use barkline::second_opinion::Opinion;
use std::fmt::Write as _;
use std::path::Path;

fn platform(text: &str) -> Platform {
    let resolved = Layout::from_toml(text).and_then(|layout| layout.resolve());
    resolved
        .unwrap_or_else(|found| panic!("{found}\n{text}"))
        .platform
}

fn opinion(platform: &Platform) -> Opinion {
    let results = platform.check().unwrap_or_else(|error| panic!("{error}"));
    let opinion = platform.second_opinion(&results);
    opinion.unwrap_or_else(|error| panic!("{error}"))
}

fn agrees(opinion: &Opinion, of: &str) {
    let differing: Vec<_> = opinion.differing().collect();
    assert!(opinion.agrees(), "{differing:#?}\n{of}");
}

#[test]
fn every_example() {
    for name in ["one-anchor", "two-stems", "one-stem", "four-stems", "fails"] {
        let text = std::fs::read_to_string(format!("docs/examples/{name}.toml")).unwrap();
        let platform = platform(&text);
        let opinion = opinion(&platform);
        agrees(&opinion, name);
        let forces = opinion.comparisons.iter();
        let forces = forces.filter(|own| own.what.starts_with("force from"));
        let least = 5 * platform.anchors().len();
        assert!(forces.count() >= least, "{name}: {}", opinion.words());
        assert!(!opinion.not_compared.is_empty());
    }
}

#[test]
fn the_example_with_spreadsheets() {
    let folder = Path::new("docs/examples/survey");
    let text = std::fs::read_to_string(folder.join("layout.toml")).unwrap();
    let layout = Layout::from_toml(&text).unwrap();
    let layout = layout.with_spreadsheets(|name| std::fs::read(folder.join(name)));
    let resolved = layout.unwrap().resolve().unwrap();
    agrees(&opinion(&resolved.platform), "survey");
}

/// Numbers that look like chance and are the same in every run (splitmix64).
struct Chance(u64);

impl Chance {
    fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.next()
    }

    fn often(&mut self, share: f64) -> bool {
        self.next() < share
    }

    fn of<T: Copy>(&mut self, all: &[T]) -> T {
        let last = all.len() - 1;
        let place = (0..last).find(|_| self.often(1.0 / all.len() as f64));
        all[place.unwrap_or(last)]
    }
}

/// A layout that grows table by table.
struct Drawn {
    text: String,
    chance: Chance,
    anchors: usize,
}

impl Drawn {
    fn new(seed: u64) -> Self {
        let mut drawn = Self {
            text: String::new(),
            chance: Chance(seed),
            anchors: 0,
        };
        let basis = drawn
            .chance
            .of(&["green-clear-wood", "green-clear-wood", "dowel-bearing"]);
        let people = drawn.chance.of(&["0 psf", "12 psf"]);
        let _ = write!(
            drawn.text,
            "title = \"seed {seed}\"\n[criteria]\nbasis = \"{basis}\"\ncombinations = \"own\"\npeople_side = \"{people}\"\n\
             [[combination]]\nid = \"D\"\nfactors = {{ D = 1.0 }}\nsource = \"chance\"\n\
             [[combination]]\nid = \"D + L\"\nfactors = {{ D = 1.0, L = 1.0 }}\nsource = \"chance\"\n"
        );
        drawn
    }

    fn add(&mut self, text: &str) {
        self.text.push_str(text);
        self.text.push('\n');
    }

    /// An anchor of a size of its own in a tree of its own, its load point at a place, facing a bearing; gives its id.
    fn anchor(&mut self, [x, y]: [f64; 2], faces: f64) -> String {
        self.anchors += 1;
        let id = format!("a{}", self.anchors);
        let c = &mut self.chance;
        let species = c.of(&["white oak", "red maple", "western larch", "black locust"]);
        let (radius, bark) = (c.between(0.3, 0.5), c.between(0.005, 0.03));
        let boss = c.between(50.0, 110.0);
        let shank = c.between(0.4, 0.7) * boss;
        let root = c.between(0.8, 0.95) * shank;
        let (boss_length, shank_length) = (c.between(90.0, 180.0), c.between(80.0, 200.0));
        let embedded = c.between(0.3, 0.6) * boss_length;
        let arm = c.between(30.0, 180.0);
        let reach = radius - bark + arm / 1e3;
        let (sin, cos) = faces.to_radians().sin_cos();
        let (lean, soft) = (c.of(&[0.0, 0.0, 7.0]), c.of(&[0.0, 0.0, 5.0]));
        let leans = c.between(0.0, 360.0);
        let text = format!(
            "[[anchor_size]]\nid = \"s-{id}\"\n\
             boss = {{ diameter = \"{boss} mm\", length = \"{boss_length} mm\" }}\n\
             shank = {{ diameter = \"{shank} mm\", root = \"{root} mm\", length = \"{shank_length} mm\" }}\n\
             steel = \"A36\"\nsource = \"chance\"\n\
             [[tree]]\nid = \"t-{id}\"\nspecies = \"{species}\"\n\
             at = [\"{:.12} m\", \"{:.12} m\"]\ndiameter = \"{} m\"\nbark = \"{bark} m\"\n\
             lean = \"{lean} deg\"\nleans = \"{leans} deg\"\nsoft = \"{soft} mm\"\n\
             [[anchor]]\nid = \"{id}\"\ntree = \"t-{id}\"\nfaces = \"{faces} deg\"\nsize = \"s-{id}\"\n\
             embedded = \"{embedded} mm\"\narm = \"{arm} mm\"\nlocked = \"keyed\"\n",
            x - reach * sin,
            y - reach * cos,
            2.0 * radius,
        );
        self.add(&text);
        id
    }

    fn load(&mut self, place: &str) {
        let (dead, live) = (self.chance.between(0.1, 2.0), self.chance.between(0.2, 8.0));
        let id = self.text.len();
        self.add(&format!(
            "[[load]]\nid = \"p{id}\"\n{place}\ndead = \"{dead} kN\"\nlive = \"{live} kN\""
        ));
    }

    /// A beam from south to north on anchors at these distances from its first seat; gives where it begins.
    fn beam(&mut self, id: &str, x: f64, seats: &[f64]) -> f64 {
        let faces = if x > 0.5 { 270.0 } else { 90.0 };
        let on: Vec<String> = seats
            .iter()
            .map(|y| format!("\"{}\"", self.anchor([x, *y], faces)))
            .collect();
        let kinds: Vec<&str> = (0..seats.len())
            .map(|k| if k == 0 { "\"fixed\"" } else { "\"sliding\"" })
            .collect();
        let (south, north) = (
            seats[0] - self.chance.between(0.05, 0.6),
            seats[seats.len() - 1] + self.chance.between(0.05, 0.6),
        );
        let (width, depth) = (
            self.chance.between(60.0, 140.0),
            self.chance.between(180.0, 300.0),
        );
        self.add(&format!(
            "[[beam]]\nid = \"{id}\"\non = [{}]\nseats = [{}]\nheld_down = true\n\
             line = [[\"{x} m\", \"{south} m\"], [\"{x} m\", \"{north} m\"]]\n\
             width = \"{width} mm\"\ndepth = \"{depth} mm\"\nmodulus = \"11 GPa\"\n",
            on.join(", "),
            kinds.join(", "),
        ));
        south
    }

    fn beam_loads(&mut self, beam: &str, length: f64) {
        for _ in 0..2 {
            let at = self.chance.between(0.02, 0.98) * length;
            self.load(&format!("on = \"{beam} at {at} m\""));
        }
    }

    fn deck(&mut self, on: &str, [x0, x1, y0, y1]: [f64; 4], run: &str) {
        let (spacing, live) = (self.chance.between(0.5, 0.9), self.chance.between(0.5, 3.0));
        let plate = self.chance.of(&["rigid", "flexible"]);
        self.add(&format!(
            "[[deck]]\nid = \"d\"\non = [{on}]\ndiaphragm = \"{plate}\"\n\
             outline = [[\"{x0} m\", \"{y0} m\"], [\"{x1} m\", \"{y0} m\"], [\"{x1} m\", \"{y1} m\"], [\"{x0} m\", \"{y1} m\"]]\n\
             joists = {{ run = \"{run}\", spacing = \"{spacing} m\", width = \"45 mm\", depth = \"145 mm\", modulus = \"11 GPa\" }}\n\
             dead = \"0.4 kPa\"\nlive = \"{live} kPa\"\n"
        ));
        let (x, y) = (
            self.chance.between(x0 + 0.1, x1 - 0.1),
            self.chance.between(y0 + 0.1, y1 - 0.1),
        );
        self.load(&format!("at = [\"{x} m\", \"{y} m\"]"));
    }
}

/// A platform on one to four trees.
fn drawn(seed: u64) -> String {
    let mut drawn = Drawn::new(seed);
    let span = drawn.chance.between(1.5, 4.0);
    match seed % 100 {
        // A load straight on an anchor.
        0..=64 => {
            let faces = drawn.chance.between(0.0, 360.0);
            let id = drawn.anchor([0.0, 0.0], faces);
            drawn.load(&format!("on = \"{id}\""));
        }
        // A beam between two trees.
        65..=84 => {
            let south = drawn.beam("b", 0.0, &[0.0, span]);
            drawn.beam_loads("b", span - south);
        }
        // A beam over three.
        85..=94 => {
            let south = drawn.beam("b", 0.0, &[0.0, 0.8 * span, 2.0 * span]);
            drawn.beam_loads("b", 2.0 * span - south);
        }
        // A deck on two beams between four.
        95..=98 => {
            drawn.beam("w", 0.0, &[0.0, span]);
            drawn.beam("e", 1.6, &[0.0, span]);
            drawn.deck("\"w\", \"e\"", [-0.2, 1.8, 0.2, 1.4], "E");
        }
        // Beams on beams, and joists over three of them.
        _ => {
            drawn.beam("w", 0.0, &[0.0, span]);
            drawn.beam("e", 1.6, &[0.0, span]);
            for (k, y) in [0.2, 0.7, 1.3].into_iter().enumerate() {
                drawn.add(&format!(
                    "[[beam]]\nid = \"c{k}\"\non = [\"w\", \"e\"]\nheld_down = true\n\
                     line = [[\"-0.2 m\", \"{y} m\"], [\"1.8 m\", \"{y} m\"]]\n\
                     width = \"60 mm\"\ndepth = \"160 mm\"\nmodulus = \"10 GPa\"\n"
                ));
            }
            let on = "\"c0\", \"c1\", \"c2\"";
            drawn.deck(on, [-0.1, 1.7, 0.0, 1.5], "N");
        }
    }
    drawn.text
}

const PLATFORMS: u64 = 1_000;

/// Every `of`-th platform from `first` on, some with bosses that fill their holes.
fn some(first: u64, of: u64) {
    let (mut values, mut differing) = (0, Vec::new());
    for seed in (0..PLATFORMS).filter(|seed| seed % of == first) {
        let text = drawn(seed);
        let mut platform = platform(&text);
        if seed % 3 == 0 {
            let mut criteria = platform.criteria().clone();
            assert!(criteria.change("boss_clearance", 0.0));
            platform = platform.with_criteria(criteria);
        }
        let opinion = opinion(&platform);
        values += opinion.comparisons.len();
        differing.extend(opinion.differing().cloned().map(|own| (seed, own)));
    }
    let [count, some] = [differing.len(), differing.len().min(20)];
    assert!(count == 0, "{count} differ: {:#?}", &differing[..some]);
    // Fewer would mean that something is no longer compared.
    let least = 20 * usize::try_from(PLATFORMS / of).unwrap();
    assert!(values > least, "{values} values");
}

#[test]
fn a_thousand_platforms_first_half() {
    some(0, 2);
}

#[test]
fn a_thousand_platforms_second_half() {
    some(1, 2);
}
