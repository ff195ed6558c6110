//! The same work on many things at once, on as many threads as there are processors.

/// What `work` makes of each number below `count`, in their order. On the web there is one thread.
pub(super) fn each<T: Send>(count: usize, work: impl Fn(usize) -> T + Sync) -> Vec<T> {
    let threads = if cfg!(target_family = "wasm") {
        1
    } else {
        std::thread::available_parallelism().map_or(1, usize::from)
    };
    let share = count.div_ceil(threads.max(1)).max(1);
    if share >= count {
        return (0..count).map(work).collect();
    }
    let work = &work;
    let part = |first: usize| {
        let numbers = first..count.min(first + share);
        move || numbers.map(work).collect::<Vec<T>>()
    };
    std::thread::scope(|scope| {
        let others: Vec<_> = (share..count)
            .step_by(share)
            .map(|first| scope.spawn(part(first)))
            .collect();
        let mut all = part(0)();
        for other in others {
            match other.join() {
                Ok(own) => all.extend(own),
                Err(panic) => std::panic::resume_unwind(panic),
            }
        }
        all
    })
}

/// Both pieces of work, at the same time where there are threads.
pub(super) fn both<A, B: Send>(
    one: impl FnOnce() -> A,
    other: impl FnOnce() -> B + Send,
) -> (A, B) {
    if cfg!(target_family = "wasm") {
        return (one(), other());
    }
    std::thread::scope(|scope| {
        let other = scope.spawn(other);
        let one = one();
        match other.join() {
            Ok(other) => (one, other),
            Err(panic) => std::panic::resume_unwind(panic),
        }
    })
}

#[cfg(test)]
mod tests {
    use super::{both, each};

    #[test]
    fn two_pieces_of_work_keep_their_places() {
        assert_eq!(both(|| 1, || "two"), (1, "two"));
    }

    #[test]
    fn results_come_in_the_order_of_the_numbers() {
        for count in [0, 1, 2, 3, 17, 100] {
            let squares: Vec<usize> = (0..count).map(|k| k * k).collect();
            assert_eq!(each(count, |k| k * k), squares);
        }
    }
}
