//! Whole trees: height, crown, roots, growth, and a diameter drawn from breast height where none was measured at the anchors.

use super::Resolver;
use crate::input::diagnostic::Code;
use crate::input::layout::Tree;
use crate::mechanics::growth;
use crate::mechanics::stem::cavity_strength_loss;
use crate::mechanics::sway::taper::{BREAST_HEIGHT, diameter_at};
use crate::model::{
    Criteria, DRAWN_DIAMETER, Drag, Growth, LivingWood, Origin, Standing, StemMechanics, TreeParts,
    WholeTree,
};
use crate::tables::{self, Fit, GreenWood, Reference, StemSpecies, WoodClass};
use crate::units::{Length, Show, kind, print, si};

impl<'a> Resolver<'a> {
    /// The row of the green table that a tree's species is, if it is one: a wood of one's own has no row.
    fn green_row(&self, tree: &Tree) -> Option<&'static GreenWood> {
        let species = tree.species.as_ref()?;
        let own = self
            .layout
            .wood
            .iter()
            .any(|wood| wood.id.eq_ignore_ascii_case(species));
        if own {
            None
        } else {
            tables::find_green_wood(species).ok()
        }
    }

    /// The levels of a tree's anchors that are given, above its own ground.
    fn heights(&self, tree: &Tree) -> Vec<Length> {
        let ground = tree.ground.as_ref().map(|ground| ***ground);
        let anchors = self.layout.anchor.iter();
        anchors
            .filter(|anchor| anchor.tree.value == tree.id.value)
            .filter_map(|anchor| match (&anchor.level, &anchor.height) {
                (Some(level), _) => Some(***level - ground.unwrap_or_default()),
                (None, Some(height)) => Some(***height),
                (None, None) => None,
            })
            .collect()
    }

    /// The diameter at the anchors, drawn from breast height by the taper; nothing where that cannot be done.
    pub(super) fn drawn_diameter(&mut self, tree: &Tree) -> Option<Length> {
        let breast = tree.diameter_breast.as_ref()?;
        let id = tree.id.as_str();
        let anchored = self
            .layout
            .anchor
            .iter()
            .any(|anchor| anchor.tree.value == tree.id.value);
        if !anchored {
            let message = format!(
                "tree {id}: its diameter at breast height is taken at the level of the platform, where it is less"
            );
            self.assumed(
                breast.span,
                message,
                "measure the tree at that level and give diameter",
            );
            return Some(***breast);
        }
        let highest = self.heights(tree).into_iter().reduce(Length::max)?;
        let height = ***tree.height.as_ref()?;
        let (taper, _) = tables::stem_taper(self.green_row(tree))?;
        let drawn = diameter_at(***breast, BREAST_HEIGHT, highest, height, taper.exponent).ok()?;
        let diameter = (drawn * DRAWN_DIAMETER).min(***breast);
        let [shown, at] = [diameter, highest].map(|length| print::<kind::Length>(length, Show::Us));
        let message = format!(
            "tree {id}: its diameter at the anchors is drawn from breast height by the taper of {}: {shown} at {at} above \
             the ground, 8 % off for the fit; swell, forks and scars are not seen",
            taper.species
        );
        self.assumed(
            breast.span,
            message,
            "measure the tree at the anchors and give diameter",
        );
        Some(diameter)
    }

    /// What is known of the tree as a whole.
    pub(super) fn whole(
        &mut self,
        tree: &'a Tree,
        diameter: Length,
        wood: &LivingWood,
        criteria: Option<&Criteria>,
    ) -> WholeTree {
        let mut notes = Vec::new();
        let row = self.green_row(tree);
        let breast = self.breast_diameter(tree, diameter, row, &mut notes);
        let growth = yearly_growth(tree, breast, row, criteria, &mut notes);
        let (mechanics, unknown) = match &tree.height {
            None => (None, Some("its height is not given".to_owned())),
            Some(height) => {
                let made =
                    self.mechanics(tree, ***height, [diameter, breast], row, wood, &mut notes);
                let unknown = made
                    .is_none()
                    .then(|| "its sizes do not go together".to_owned());
                (made, unknown)
            }
        };
        let usual_bark = row
            .and_then(tables::bark_ratio)
            .and_then(|row| growth::bark_thickness(row.ratio, breast).ok());
        WholeTree {
            ground: self.ground(tree),
            measured_sway: tree.sway.as_ref().map(|sway| ***sway),
            growth,
            usual_bark,
            mechanics,
            unknown,
            notes,
        }
    }

    /// The ground at a stem; at the site's zero where it is not given, which is said where it matters.
    fn ground(&mut self, tree: &Tree) -> Length {
        if tree.ground.is_none() && tree.height.is_some() {
            let message = format!(
                "tree {}: its ground is taken at the site's zero; how far it moves hangs on the height of the anchors",
                tree.id.as_str()
            );
            self.assumed(
                tree.id.span,
                message,
                "add ground = \"0 ft\", or what it is",
            );
        }
        tree.ground
            .as_ref()
            .map_or(si::metres(0.0), |ground| ***ground)
    }

    /// The diameter at breast height: given, or drawn from the anchors, or taken as there.
    fn breast_diameter(
        &self,
        tree: &Tree,
        diameter: Length,
        row: Option<&GreenWood>,
        notes: &mut Vec<String>,
    ) -> Length {
        if let Some(breast) = &tree.diameter_breast {
            return ***breast;
        }
        let lowest = self.heights(tree).into_iter().reduce(Length::min);
        let drawn = lowest.zip(tree.height.as_ref()).and_then(|(at, height)| {
            let taper = tables::stem_taper(row)?.0.exponent;
            diameter_at(diameter, at, BREAST_HEIGHT, ***height, taper).ok()
        });
        notes.push(if drawn.is_some() {
            "diameter at breast height drawn from that at the anchors".into()
        } else {
            "diameter at breast height taken as at the anchors".into()
        });
        drawn.unwrap_or(diameter)
    }

    fn mechanics(
        &mut self,
        tree: &'a Tree,
        height: Length,
        [diameter, breast]: [Length; 2],
        row: Option<&'static GreenWood>,
        wood: &LivingWood,
        notes: &mut Vec<String>,
    ) -> Option<StemMechanics> {
        let (species, fit) = match row {
            Some(row) => tables::stem_species(row)?,
            // A wood of one's own says nothing of its class: conifers give way more.
            None => (tables::any_stem(WoodClass::Softwood)?, Fit::Class),
        };
        let (taper, taper_fit) = tables::stem_taper(row)?;
        let modulus = species.modulus.unwrap_or(wood.modulus());
        let rupture = species.rupture.or(row.map(|row| row.rupture));
        let [crown_base, crown_width] = crown(tree, height, breast, species, notes);
        let parts = TreeParts {
            height,
            breast_diameter: breast,
            taper: taper.exponent,
            modulus,
            rupture,
            knot_factor: species.knot_factor,
            stem_density: species.stem_density,
            crown_density: species.crown_density,
            anchorage: species.least_anchorage(),
            drag: Drag {
                constant: species.drag_constant,
                exponent: species.drag_exponent,
                limit: species.drag_limit,
            },
            crown_base,
            crown_width,
            cavity_loss: cavity(tree, diameter, notes),
        };
        notes.push(match fit {
            Fit::Species => format!("stem, crown and roots as of {}", species.common_name),
            Fit::Genus => format!(
                "stem, crown and roots as of {}, of the same genus: extended",
                species.common_name
            ),
            Fit::Class => format!(
                "stem, crown and roots as of {}, the modulus of {}: extended",
                species.common_name.to_lowercase(),
                wood.name()
            ),
        });
        notes.push("anchorage: the least of all soils and rooting depths".into());
        let mut origins = vec![
            origin(species.reference(), fit),
            origin(taper.reference(), taper_fit),
        ];
        if species.modulus.is_none() {
            origins.push(wood.origin().clone());
        }
        StemMechanics::new(parts, origins)
            .map_err(|error| {
                let span = tree.height.as_ref().and_then(|height| height.span);
                let message = format!("tree {}: {error}", tree.id.as_str());
                let mend = "give height and crown base above the ground, diameters over bark";
                self.error(Code::OutOfRange, span, message, mend);
            })
            .ok()
    }
}

/// The growth of the radius: as measured, else estimated.
fn yearly_growth(
    tree: &Tree,
    breast: Length,
    row: Option<&GreenWood>,
    criteria: Option<&Criteria>,
    notes: &mut Vec<String>,
) -> Option<Growth> {
    if let Some(yearly) = &tree.radial_growth {
        return Some(Growth {
            yearly: ***yearly,
            measured: true,
            origin: Origin::new("the layout", Standing::Published),
        });
    }
    let (row, fit) = tables::growth(row?)?;
    let site = criteria?.length("site_index");
    // Free of competition: the faster closes the gap sooner.
    let yearly = growth::radial_growth(row.b1, row.b2, site, breast, 1.0).ok()?;
    let mut origin = Origin::from(row.reference());
    // The site index is common practice: no estimate stands better than that.
    origin.standing = fit.standing(origin.standing).worse(Standing::Practice);
    notes.push(format!(
        "growth as of {} in the forests of the northeastern United States, free of competition; young trees and those in \
         the open grow up to twice as fast",
        row.species
    ));
    Some(Growth {
        yearly,
        measured: false,
        origin,
    })
}

/// What the cavity of a hollow stem takes of its bending stiffness; nothing where its wall is as thick as its radius.
fn cavity(tree: &Tree, diameter: Length, notes: &mut Vec<String>) -> f64 {
    let bark = tree.bark.as_ref().map_or(si::metres(0.0), |bark| ***bark);
    let sound = diameter - bark * 2.0;
    let Some(shell) = &tree.shell else { return 0.0 };
    notes.push("the cavity is taken to reach all along the stem".into());
    cavity_strength_loss(sound, (***shell).min(sound / 2.0)).unwrap_or(0.0)
}

/// The base of the crown above the ground and its width: given, or those of a forest tree of this size.
fn crown(
    tree: &Tree,
    height: Length,
    breast: Length,
    species: &StemSpecies,
    notes: &mut Vec<String>,
) -> [Length; 2] {
    let given = tree.crown.as_ref();
    let base = given
        .and_then(|crown| crown.base.as_ref())
        .map(|base| ***base);
    let width = given
        .and_then(|crown| crown.spread.as_ref())
        .map(|spread| ***spread);
    if base.is_none() || width.is_none() {
        notes.push("crown of a forest tree of this size".into());
    }
    [
        base.unwrap_or_else(|| height - species.crown_depth(height)),
        width.unwrap_or_else(|| species.crown_width(breast)),
    ]
}

fn origin(reference: &Reference, fit: Fit) -> Origin {
    let own = Origin::from(reference);
    Origin {
        standing: fit.standing(own.standing),
        ..own
    }
}
