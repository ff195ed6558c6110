//! Which demand is worst for a limit state, without trying each.
//!
//! No limit state is easier under more load. A demand that is in nothing harder than another is therefore left out, and
//! the rest is taken in groups, each with a cover: a load that is at least as hard as any in the group. The group whose
//! cover is used most is opened first, into two; once that group is a single demand, no other demand is used more.

use super::context::{Context, Demand, Loaded, Use};
use super::elastic::{Fit, State};
use super::limit_states::{Over, Rule};
use super::result::Worst;
use super::trace::Silent;
use crate::mechanics::MechanicsError;
use crate::model::Bound;
use std::ops::Range;
use std::rc::Rc;

/// What a limit state reads of a demand, and in which states of the bar it is then looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Aspect {
    /// Both bounds, snug and loose.
    Strength,
    /// The soft bound and the central modulus, snug and loose; the load point alone.
    Sinking,
    /// Both bounds, snug and loose, under the range of the load.
    Sway,
}

/// What a demand has of each thing that makes it harder.
type Sizes = [f64; 5];

impl Aspect {
    fn sizes(self, demand: &Demand) -> Sizes {
        let Demand {
            down,
            side,
            out,
            range,
            ..
        } = demand;
        match self {
            Self::Strength => {
                let permanent = f64::from(u8::from(demand.permanent));
                [
                    down.abs(),
                    side.abs(),
                    out.abs(),
                    -demand.duration,
                    permanent,
                ]
            }
            Self::Sinking => [down.abs(), side.abs(), demand.permanent_share, 0.0, 0.0],
            Self::Sway => [range[0].abs(), range[1].abs(), 0.0, 0.0, 0.0],
        }
    }

    /// Places of the demands that no other one is at least as hard as, in their order; of equals the first. What sinks
    /// an anchor is left whole: its demands trade load for permanence so evenly that hardly any drops out.
    fn hardest(self, all: &[Demand]) -> Vec<usize> {
        if self == Self::Sinking {
            return (0..all.len()).collect();
        }
        let sizes: Vec<Sizes> = all.iter().map(|demand| self.sizes(demand)).collect();
        let load = |at: usize| sizes[at][0] + sizes[at][1] + sizes[at][2];
        let no_easier = |other: usize, at: usize| {
            let mut each = sizes[other].iter().zip(&sizes[at]);
            each.all(|(other, own)| other >= own) && self.alike(&all[other], &all[at])
        };
        // The greatest load of each kind rules out most of them; the rest compare with each other, hardest first.
        let mut champions: Vec<usize> = Vec::new();
        for at in 0..all.len() {
            let of_its_kind = |champion: &&mut usize| self.alike(&all[**champion], &all[at]);
            match champions.iter_mut().find(of_its_kind) {
                Some(champion) if load(at) > load(*champion) => *champion = at,
                Some(_) => {}
                None => champions.push(at),
            }
        }
        let ruled_out = |at: &usize| champions.iter().any(|champion| no_easier(*champion, *at));
        let mut rest: Vec<usize> = (0..all.len()).filter(|at| !ruled_out(at)).collect();
        rest.sort_by(|a, b| load(*b).total_cmp(&load(*a)));
        let mut hardest = champions;
        for at in rest {
            if !hardest.iter().any(|other| no_easier(*other, at)) {
                hardest.push(at);
            }
        }
        hardest.sort_unstable();
        hardest
    }

    /// Whether one cover can stand for both: nothing stands for a pull and a push.
    fn alike(self, one: &Demand, other: &Demand) -> bool {
        self != Self::Strength || (one.out > 0.0) == (other.out > 0.0)
    }

    /// A demand of these sizes, in all else as `like`.
    fn cover(self, like: Demand, sizes: Sizes) -> Demand {
        let [first, second, third, shortness, permanent] = sizes;
        match self {
            Self::Strength => Demand {
                down: first,
                side: second,
                out: if like.out > 0.0 { third } else { -third },
                duration: -shortness,
                permanent: permanent > 0.0,
                ..like
            },
            Self::Sinking => Demand {
                down: first,
                side: second,
                permanent_share: third,
                ..like
            },
            Self::Sway => Demand {
                range: [first, second],
                ..like
            },
        }
    }

    /// The load that the bar is under (N).
    pub(super) fn load(self, demand: &Demand) -> [f64; 2] {
        match self {
            Self::Strength | Self::Sinking => [demand.down, demand.side],
            Self::Sway => demand.range,
        }
    }
}

/// The worst use of a limit state.
#[derive(Debug, Clone, Copy)]
pub(super) struct Governing {
    pub(super) demand: Demand,
    /// Among the states of the bar that the limit state looks at.
    pub(super) state: usize,
    pub(super) found: Use,
}

impl Governing {
    /// The load and the state of the bar that it was found under.
    pub(super) fn under(&self, rule: &Rule, context: &Context<'_>) -> Worst {
        let Demand {
            down, side, out, ..
        } = self.demand;
        let fits: &[Fit] = if context.has_clearance() {
            &[Fit::Snug, Fit::Loose]
        } else {
            &[Fit::Snug]
        };
        let bound = Bound::BOTH.get(self.state / fits.len());
        let one = matches!(rule.over, Over::Bounds | Over::Range);
        Worst {
            load_n: [down, side, out],
            range_n: self.demand.range,
            duration: self.demand.duration,
            permanent: self.demand.permanent,
            permanent_share: self.demand.permanent_share,
            state: bound
                .filter(|_| one)
                .map(|bound| (*bound, fits[self.state % fits.len()])),
        }
    }
}

/// The bar of an anchor under all its demands.
#[derive(Debug)]
pub(super) struct Loads<'c> {
    context: &'c Context<'c>,
    all: &'c [Demand],
    /// By aspect, once it is asked for.
    groups: [Option<Groups<'c>>; 3],
}

impl<'c> Loads<'c> {
    pub(super) fn new(context: &'c Context<'c>, all: &'c [Demand]) -> Self {
        Self {
            context,
            all,
            groups: [const { None }; 3],
        }
    }

    /// The worst use of a limit state; none where nothing asks for it.
    pub(super) fn worst(&mut self, rule: &Rule) -> Result<Option<Governing>, MechanicsError> {
        self.worst_above(rule, f64::NEG_INFINITY)
    }

    /// The same, or none where no demand uses the limit state more than so (1).
    pub(super) fn worst_above(
        &mut self,
        rule: &Rule,
        floor: f64,
    ) -> Result<Option<Governing>, MechanicsError> {
        self.groups(rule.aspect()).worst_above(rule, floor)
    }

    /// The demands that alone can govern a limit state of this aspect.
    pub(super) fn hardest(&mut self, aspect: Aspect) -> Vec<Demand> {
        let groups = self.groups(aspect);
        groups.order.iter().map(|(at, _)| groups.all[*at]).collect()
    }

    fn groups(&mut self, aspect: Aspect) -> &mut Groups<'c> {
        self.groups[aspect as usize]
            .get_or_insert_with(|| Groups::new(self.context, self.all, aspect))
    }
}

/// The worst use of a limit state under one load, over the states of the bar.
pub(super) fn worst_state(
    rule: &Rule,
    context: &Context<'_>,
    loaded: &Loaded<'_>,
) -> Result<Option<Governing>, MechanicsError> {
    let mut worst: Option<Governing> = None;
    for (at, state) in rule.states(loaded).iter().enumerate() {
        let Some(found) = (rule.utilization)(context, loaded, state, &mut Silent)? else {
            continue;
        };
        if !found.utilization.is_finite() {
            return Err(MechanicsError::NotFinite {
                what: rule.limit_state.words(),
            });
        }
        if worst.is_none_or(|worst| found.utilization > worst.found.utilization) {
            worst = Some(Governing {
                demand: loaded.demand,
                state: at,
                found,
            });
        }
    }
    Ok(worst)
}

/// Demands in groups within groups, for one aspect.
#[derive(Debug)]
struct Groups<'c> {
    context: &'c Context<'c>,
    all: &'c [Demand],
    aspect: Aspect,
    /// Places of all demands and their sizes, those of a group side by side.
    order: Vec<(usize, Sizes)>,
    /// Those that nothing holds together come first.
    nodes: Vec<Group<'c>>,
    roots: usize,
}

#[derive(Debug)]
struct Group<'c> {
    /// As hard as every member; the first member itself where all are of one size.
    cover: Demand,
    /// In the order.
    members: Range<usize>,
    /// The least place of a member among all demands: it names the group where two are used alike.
    first: usize,
    halves: Halves,
    /// The bar under the cover.
    states: Option<Rc<[State<'c>]>>,
}

#[derive(Debug, Clone, Copy)]
enum Halves {
    /// All members are of one size.
    None,
    NotOpened,
    Two([usize; 2]),
}

/// In what members differ most, by their share; the middle and the most of that.
fn widest(members: &[(usize, Sizes)]) -> (usize, f64, f64) {
    let range = |k: usize| {
        let sizes = members.iter().map(|(_, sizes)| sizes[k]);
        let none = [f64::INFINITY, f64::NEG_INFINITY];
        sizes.fold(none, |[least, most], size| {
            [least.min(size), most.max(size)]
        })
    };
    let mut widest = (0.0, 0, [0.0; 2]);
    for k in 0..5 {
        let [least, most] = range(k);
        let share = (most - least) / most.abs().max(least.abs());
        if share > widest.0 {
            widest = (share, k, [least, most]);
        }
    }
    let (_, axis, [least, most]) = widest;
    (axis, f64::midpoint(least, most), most)
}

/// A group that may hold the worst demand, with the use under its cover.
struct Open {
    group: usize,
    used: f64,
    worst: Option<Governing>,
}

impl<'c> Groups<'c> {
    fn new(context: &'c Context<'c>, all: &'c [Demand], aspect: Aspect) -> Self {
        let mut groups = Self {
            context,
            all,
            aspect,
            order: Vec::with_capacity(all.len()),
            nodes: Vec::new(),
            roots: 0,
        };
        let mut left = aspect.hardest(all);
        while let Some(first) = left.first() {
            let like = &all[*first];
            let start = groups.order.len();
            left.retain(|at| {
                let alike = aspect.alike(like, &all[*at]);
                if alike {
                    groups.order.push((*at, aspect.sizes(&all[*at])));
                }
                !alike
            });
            groups.gather(start..groups.order.len());
            groups.roots += 1;
        }
        groups
    }

    /// Makes a group of the demands at these places of the order; gives its number.
    fn gather(&mut self, members: Range<usize>) -> usize {
        let own = &self.order[members.clone()];
        let mut first = usize::MAX;
        let (mut least, mut most) = ([f64::INFINITY; 5], [f64::NEG_INFINITY; 5]);
        for (at, sizes) in own {
            first = first.min(*at);
            for (k, size) in sizes.iter().enumerate() {
                (least[k], most[k]) = (least[k].min(*size), most[k].max(*size));
            }
        }
        let of_one_size = least.iter().zip(&most).all(|(least, most)| least >= most);
        let like = self.all[first];
        self.nodes.push(Group {
            cover: if of_one_size {
                like
            } else {
                self.aspect.cover(like, most)
            },
            members,
            first,
            halves: if of_one_size {
                Halves::None
            } else {
                Halves::NotOpened
            },
            states: None,
        });
        self.nodes.len() - 1
    }

    /// The halves of a group: below and above the middle of what its members differ most in; none where all are alike.
    fn halves(&mut self, group: usize) -> Option<[usize; 2]> {
        match self.nodes[group].halves {
            Halves::None => return None,
            Halves::Two(halves) => return Some(halves),
            Halves::NotOpened => {}
        }
        let members = self.nodes[group].members.clone();
        let own = &mut self.order[members.clone()];
        let (axis, middle, most) = widest(own);
        // Between neighbours of floating point the middle is one of them.
        let is_above = |sizes: &Sizes| sizes[axis] > middle || sizes[axis] >= most;
        let mut above = 0;
        for k in 0..own.len() {
            if is_above(&own[k].1) {
                own.swap(above, k);
                above += 1;
            }
        }
        let cut = members.start + above;
        let halves = [
            self.gather(members.start..cut),
            self.gather(cut..members.end),
        ];
        self.nodes[group].halves = Halves::Two(halves);
        for half in halves {
            // Where the cover is of the same size, so is what it does.
            let [own, whole] = [half, group].map(|k| self.aspect.load(&self.nodes[k].cover));
            let alike = |plane: usize| own[plane].abs().total_cmp(&whole[plane].abs()).is_eq();
            if alike(0) && alike(1) {
                let states = self.nodes[group].states.clone();
                self.nodes[half].states = states;
            }
        }
        Some(halves)
    }

    /// The worst demand of a limit state, if it uses it more than so.
    fn worst_above(
        &mut self,
        rule: &Rule,
        floor: f64,
    ) -> Result<Option<Governing>, MechanicsError> {
        let mut open = Vec::with_capacity(32);
        for group in 0..self.roots {
            open.extend(self.open(rule, group, None)?);
        }
        loop {
            let hardest = open.iter().enumerate().max_by(|(_, a), (_, b)| {
                let [first_a, first_b] = [a, b].map(|open| self.nodes[open.group].first);
                a.used.total_cmp(&b.used).then(first_b.cmp(&first_a))
            });
            let Some((at, _)) = hardest else {
                return Ok(None);
            };
            let hardest = open.swap_remove(at);
            if hardest.used <= floor {
                return Ok(None);
            }
            let Some(halves) = self.halves(hardest.group) else {
                return Ok(hardest.worst);
            };
            for half in halves {
                open.extend(self.open(rule, half, Some(hardest.group))?);
            }
        }
    }

    /// The use of a limit state under the cover of a group; none if there is none. The group that it comes from helps to
    /// find the bar under it.
    fn open(
        &mut self,
        rule: &Rule,
        group: usize,
        from: Option<usize>,
    ) -> Result<Option<Open>, MechanicsError> {
        let single = matches!(self.nodes[group].halves, Halves::None);
        match self.under_cover(rule, group, from) {
            Ok(None) => Ok(None),
            Ok(Some(worst)) => Ok(Some(Open {
                group,
                used: worst.found.utilization,
                worst: Some(worst),
            })),
            Err(error) if single => Err(error),
            // A cover is a load that is never there. What has no answer under it is looked at one by one.
            Err(_) => Ok(Some(Open {
                group,
                used: f64::INFINITY,
                worst: None,
            })),
        }
    }

    fn under_cover(
        &mut self,
        rule: &Rule,
        group: usize,
        from: Option<usize>,
    ) -> Result<Option<Governing>, MechanicsError> {
        let demand = self.nodes[group].cover;
        if rule.over == Over::Demand {
            return worst_state(rule, self.context, &self.context.unlooked(demand));
        }
        let states = match &self.nodes[group].states {
            Some(states) => Rc::clone(states),
            None => {
                let near = from.and_then(|from| self.nodes[from].states.as_deref());
                let states = self.context.states(self.aspect, &demand, near)?;
                self.nodes[group].states = Some(Rc::clone(&states));
                states
            }
        };
        worst_state(rule, self.context, &Loaded { demand, states })
    }
}
