//! A linear network as every solver here is given it, and its matrix by columns.

/// Conductance that ties one node of every separate part to zero, in siemens; no current flows in it.
const ANCHOR: f64 = 10.0;

/// Nodes, branches between them with their siemens, and the amperes put into nodes.
#[derive(Debug, Clone)]
pub(crate) struct Linear {
    pub(crate) n: usize,
    pub(crate) branches: Vec<(usize, usize)>,
    pub(crate) siemens: Vec<f64>,
    pub(crate) anchors: Vec<(usize, f64)>,
    pub(crate) injection: Vec<f64>,
}

impl Linear {
    /// With an anchor at `reference`, and at one node of every part that does not hang together with it.
    pub(crate) fn anchored(
        n: usize,
        branches: Vec<(usize, usize)>,
        siemens: Vec<f64>,
        injection: Vec<f64>,
        reference: usize,
    ) -> Self {
        let mut part: Vec<usize> = (0..n).collect();
        let root = |part: &mut Vec<usize>, mut node: usize| {
            while part[node] != node {
                part[node] = part[part[node]];
                node = part[node];
            }
            node
        };
        for (&(a, b), _) in branches.iter().zip(&siemens).filter(|(_, g)| **g != 0.0) {
            let (a, b) = (root(&mut part, a), root(&mut part, b));
            part[a.max(b)] = a.min(b);
        }
        let home = root(&mut part, reference);
        let mut anchors = vec![(reference, ANCHOR)];
        anchors.extend((0..n).filter(|&at| part[at] == at && at != home).map(|at| (at, ANCHOR)));
        Self { n, branches, siemens, anchors, injection }
    }

    /// Both triangles of the matrix.
    pub(crate) fn both_triangles(&self) -> Columns {
        Columns::new(self, |_, _| true)
    }

    /// The upper triangle of the matrix.
    pub(crate) fn upper(&self) -> Columns {
        Columns::new(self, |row, column| row <= column)
    }
}

/// A matrix by columns, rows in order, and where the numbers of each branch go.
#[derive(Debug, Clone)]
pub(crate) struct Columns {
    pub(crate) start: Vec<i32>,
    pub(crate) row: Vec<i32>,
    pub(crate) values: Vec<f64>,
    diagonal: Vec<usize>,
    /// The off-diagonal entries of each branch, the second one for both triangles only.
    beside: Vec<(usize, Option<usize>)>,
    ends: Vec<(usize, usize)>,
    anchors: Vec<(usize, f64)>,
}

impl Columns {
    fn new(linear: &Linear, keep: impl Fn(usize, usize) -> bool) -> Self {
        assert!(linear.branches.iter().all(|(a, b)| a != b), "no branch from a node to itself");
        let mut entries: Vec<(usize, usize)> = (0..linear.n).map(|at| (at, at)).collect();
        let sides = linear.branches.iter().flat_map(|&(a, b)| [(a, b), (b, a)]);
        entries.extend(sides.filter(|&(column, row)| keep(row, column)));
        entries.sort_unstable();
        entries.dedup();
        let mut start = vec![0; linear.n + 1];
        for (column, _) in &entries {
            start[column + 1] += 1;
        }
        for column in 0..linear.n {
            start[column + 1] += start[column];
        }
        let find = |entry: (usize, usize)| entries.binary_search(&entry).ok();
        let beside = linear.branches.iter().map(|&(a, b)| {
            let (low, high) = (a.min(b), a.max(b));
            (find((high, low)).expect("the upper triangle is always kept"), find((low, high)))
        });
        let mut columns = Self {
            start,
            row: entries.iter().map(|&(_, row)| i32::try_from(row).expect("few nodes")).collect(),
            values: vec![0.0; entries.len()],
            diagonal: (0..linear.n).filter_map(|at| find((at, at))).collect(),
            beside: beside.collect(),
            ends: linear.branches.clone(),
            anchors: linear.anchors.clone(),
        };
        columns.assemble(&linear.siemens);
        columns
    }

    /// Number of nodes.
    pub(crate) fn n(&self) -> usize {
        self.diagonal.len()
    }

    /// Writes the values for these siemens, one a branch.
    pub(crate) fn assemble(&mut self, siemens: &[f64]) {
        self.values.fill(0.0);
        for (branch, g) in siemens.iter().enumerate() {
            self.add(branch, *g);
        }
        for &(node, g) in &self.anchors {
            self.values[self.diagonal[node]] += g;
        }
    }

    /// Adds siemens to one branch.
    pub(crate) fn add(&mut self, branch: usize, change: f64) {
        let (a, b) = self.ends[branch];
        let (upper, lower) = self.beside[branch];
        self.values[upper] -= change;
        if let Some(lower) = lower {
            self.values[lower] -= change;
        }
        self.values[self.diagonal[a]] += change;
        self.values[self.diagonal[b]] += change;
    }
}

/// Two answers are the same to a billionth of the largest voltage.
///
/// # Panics
///
/// When they are not.
pub(crate) fn assert_equal(who: &str, expected: &[f64], found: &[f64]) {
    assert_eq!(expected.len(), found.len(), "{who}: as many volts");
    let scale = expected.iter().fold(0.0, |most: f64, v| most.max(v.abs()));
    for (node, (expected, found)) in expected.iter().zip(found).enumerate() {
        let miss = (expected - found).abs();
        // Written so that what is not a number is a miss.
        assert!(miss <= 1e-9 * scale, "{who}: {found} V at node {node}, expected {expected} V");
    }
}
