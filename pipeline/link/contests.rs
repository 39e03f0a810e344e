//! The candidate graph taken apart into contests: pairs that no rivalry ties to each other.

/// Where a pair stands among its rivals. Places are numbered through, those of one contest side by side.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Seat {
    pub(super) pair: u32,
    /// place seen from the first record: same record, same other list
    pub(super) from_a: u32,
    /// place seen from the second record
    pub(super) from_b: u32,
    /// pairs between the same two items: one candidate listed more than once, no rivals of each other
    pub(super) between: u32,
}

type PlaceOf = for<'a> fn(&'a mut Seat) -> &'a mut u32;

/// Numbers equal seats alike: a seat is a bucket, of which there are `buckets`, and a key inside it.
pub(super) fn numbered(buckets: usize, seats: impl Iterator<Item = (u32, u32)> + Clone) -> (Vec<u32>, usize) {
    let mut starts = vec![0u32; buckets + 1];
    for (bucket, _) in seats.clone() {
        starts[bucket as usize + 1] += 1;
    }
    for at in 1..starts.len() {
        starts[at] += starts[at - 1];
    }
    let mut next = starts.clone();
    let mut laid: Vec<(u32, u32)> = vec![(0, 0); starts[buckets] as usize];
    for ((bucket, key), seat) in seats.zip(0..) {
        laid[next[bucket as usize] as usize] = (key, seat);
        next[bucket as usize] += 1;
    }
    let mut number = vec![0u32; laid.len()];
    let mut numbers = 0;
    for bucket in starts.windows(2) {
        let laid = &mut laid[bucket[0] as usize..bucket[1] as usize];
        laid.sort_unstable();
        for same in laid.chunk_by(|x, y| x.0 == y.0) {
            same.iter().for_each(|(_, seat)| number[*seat as usize] = numbers);
            numbers += 1;
        }
    }
    (number, numbers as usize)
}

/// Sorts seats into contests and numbers the places of each side by side; returns where each contest starts, and the
/// end. Two pairs are in one contest when they, or others between them, share a place.
pub(super) fn by_contest(seats: &mut Vec<Seat>, groups: usize) -> Vec<u32> {
    let mut tied: Vec<u32> = (0..groups as u32).collect();
    for seat in seats.iter() {
        let (x, y) = (root(&mut tied, seat.from_a), root(&mut tied, seat.from_b));
        tied[x.max(y) as usize] = x.min(y);
    }
    let contest_of: Vec<u32> = seats.iter().map(|seat| root(&mut tied, seat.from_a)).collect();
    let (contest_of, contests) = first_come(&contest_of, groups);
    let mut starts = vec![0u32; contests + 1];
    for contest in &contest_of {
        starts[*contest as usize + 1] += 1;
    }
    for at in 1..starts.len() {
        starts[at] += starts[at - 1];
    }
    let mut next = starts.clone();
    let mut sorted = vec![Seat::default(); seats.len()];
    for (seat, contest) in seats.iter().zip(contest_of) {
        sorted[next[contest as usize] as usize] = *seat;
        next[contest as usize] += 1;
    }
    let places: [PlaceOf; 3] = [
        |seat| &mut seat.from_a,
        |seat| &mut seat.from_b,
        |seat| &mut seat.between,
    ];
    for place in places {
        let old: Vec<u32> = sorted.iter_mut().map(|seat| *place(seat)).collect();
        let (new, _) = first_come(&old, groups.max(seats.len()));
        sorted.iter_mut().zip(new).for_each(|(seat, new)| *place(seat) = new);
    }
    *seats = sorted;
    starts
}

/// Numbers given anew in the order in which they first come.
fn first_come(numbers: &[u32], below: usize) -> (Vec<u32>, usize) {
    let mut given = vec![u32::MAX; below];
    let mut next = 0;
    let anew = numbers.iter().map(|number| {
        let slot = &mut given[*number as usize];
        if *slot == u32::MAX {
            *slot = next;
            next += 1;
        }
        *slot
    });
    (anew.collect(), next as usize)
}

fn root(tied: &mut [u32], mut place: u32) -> u32 {
    while tied[place as usize] != place {
        tied[place as usize] = tied[tied[place as usize] as usize];
        place = tied[place as usize];
    }
    place
}
