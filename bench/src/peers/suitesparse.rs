//! KLU and CHOLMOD of `SuiteSparse`, called in C; the only file with `unsafe`.
#![allow(unsafe_code, reason = "a library written in C cannot be called without it")]

use std::ffi::c_int;
use std::marker::PhantomData;
use std::ptr::NonNull;

use crate::linear::Columns;

/// What is said in the table when the library is not there.
pub(crate) const MISSING: &str = "not here (libsuitesparse-dev)";

#[repr(C)]
struct KluPeer([u8; 0]);
#[repr(C)]
struct CholmodPeer([u8; 0]);

// SAFETY: the signatures are those of `suitesparse.c`, which the build script compiles.
unsafe extern "C" {
    fn peer_klu_new(
        n: c_int,
        start: *const c_int,
        row: *const c_int,
        values: *const f64,
        scaled: c_int,
    ) -> *mut KluPeer;
    fn peer_klu_refactor(peer: *mut KluPeer, values: *const f64) -> c_int;
    fn peer_klu_solve(peer: *mut KluPeer, right: *mut f64) -> c_int;
    fn peer_klu_free(peer: *mut KluPeer);
    fn peer_cholmod_new(
        n: c_int,
        start: *const c_int,
        row: *const c_int,
        simplicial: c_int,
    ) -> *mut CholmodPeer;
    fn peer_cholmod_factor(peer: *mut CholmodPeer, values: *const f64) -> c_int;
    fn peer_cholmod_solve(peer: *mut CholmodPeer, right: *const f64) -> *const f64;
    fn peer_cholmod_free(peer: *mut CholmodPeer);
    fn peer_versions(numbers: *mut c_int) -> c_int;
}

/// Whether KLU scales rows before it factorises, which is its default.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Rows {
    /// As KLU does when not told otherwise.
    Scaled,
    /// Quicker, and enough for a conductance matrix, which Groundloom does not scale either.
    AsTheyAre,
}

/// A matrix ordered and factorised by KLU. Its columns hold both triangles.
#[derive(Debug)]
pub(crate) struct Klu<'c> {
    peer: NonNull<KluPeer>,
    entries: usize,
    n: usize,
    columns: PhantomData<&'c Columns>,
}

impl<'c> Klu<'c> {
    /// Orders and factorises; nothing when the library is not there.
    pub(crate) fn new(columns: &'c Columns, rows: Rows) -> Option<Self> {
        let scaled = c_int::from(rows == Rows::Scaled);
        let n = c_int::try_from(columns.n()).ok()?;
        // SAFETY: `Columns` holds n + 1 starts, and as many rows and values as the last start says.
        // The peer keeps pointers to starts and rows, only reads them, and is outlived by them ('c).
        let peer = unsafe {
            peer_klu_new(
                n,
                columns.start.as_ptr(),
                columns.row.as_ptr(),
                columns.values.as_ptr(),
                scaled,
            )
        };
        let entries = columns.values.len();
        Some(Self { peer: NonNull::new(peer)?, entries, n: columns.n(), columns: PhantomData })
    }

    /// Factorises other values with the same pivots and solves in place.
    pub(crate) fn refactor_and_solve(&mut self, values: &[f64], right: &mut [f64]) {
        assert_eq!((values.len(), right.len()), (self.entries, self.n));
        // SAFETY: the peer lives, values and right have the lengths it was made for.
        let well = unsafe {
            peer_klu_refactor(self.peer.as_ptr(), values.as_ptr()) != 0
                && peer_klu_solve(self.peer.as_ptr(), right.as_mut_ptr()) != 0
        };
        assert!(well, "KLU refused");
    }

    /// Solves in place with the factors at hand.
    pub(crate) fn solve(&mut self, right: &mut [f64]) {
        assert_eq!(right.len(), self.n);
        // SAFETY: the peer lives, and right has the length it was made for.
        let well = unsafe { peer_klu_solve(self.peer.as_ptr(), right.as_mut_ptr()) != 0 };
        assert!(well, "KLU refused");
    }
}

impl Drop for Klu<'_> {
    fn drop(&mut self) {
        // SAFETY: the peer was made by `peer_klu_new` and is freed once.
        unsafe { peer_klu_free(self.peer.as_ptr()) }
    }
}

/// How CHOLMOD factorises.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Blocks {
    /// Column by column.
    Never,
    /// By blocks of columns when CHOLMOD finds that worth while.
    WhenWorthWhile,
}

/// A matrix ordered by CHOLMOD. Its columns hold the upper triangle.
#[derive(Debug)]
pub(crate) struct Cholmod<'c> {
    peer: NonNull<CholmodPeer>,
    entries: usize,
    n: usize,
    columns: PhantomData<&'c Columns>,
}

impl<'c> Cholmod<'c> {
    /// Orders and lays out the factor; nothing when the library is not there.
    pub(crate) fn new(columns: &'c Columns, blocks: Blocks) -> Option<Self> {
        let n = c_int::try_from(columns.n()).ok()?;
        let simplicial = c_int::from(blocks == Blocks::Never);
        // SAFETY: as for `Klu::new`.
        let peer = unsafe {
            peer_cholmod_new(n, columns.start.as_ptr(), columns.row.as_ptr(), simplicial)
        };
        let entries = columns.values.len();
        Some(Self { peer: NonNull::new(peer)?, entries, n: columns.n(), columns: PhantomData })
    }

    /// Factorises and solves; the answer lies in CHOLMOD's memory until the next call.
    pub(crate) fn factor_and_solve(&mut self, values: &[f64], right: &[f64]) -> &[f64] {
        assert_eq!((values.len(), right.len()), (self.entries, self.n));
        // SAFETY: the peer lives, values and right have the lengths it was made for.
        let answer = unsafe {
            assert!(
                peer_cholmod_factor(self.peer.as_ptr(), values.as_ptr()) != 0,
                "CHOLMOD refused"
            );
            peer_cholmod_solve(self.peer.as_ptr(), right.as_ptr())
        };
        assert!(!answer.is_null(), "CHOLMOD refused");
        // SAFETY: CHOLMOD's answer has n entries and is not moved before the next solve, for which
        // `&mut self` is needed again.
        unsafe { std::slice::from_raw_parts(answer, self.n) }
    }
}

impl Drop for Cholmod<'_> {
    fn drop(&mut self) {
        // SAFETY: the peer was made by `peer_cholmod_new` and is freed once.
        unsafe { peer_cholmod_free(self.peer.as_ptr()) }
    }
}

/// Versions of KLU, CHOLMOD and the collection.
pub(crate) fn versions() -> Option<String> {
    let mut numbers = [0; 9];
    // SAFETY: nine numbers are written at most.
    (unsafe { peer_versions(numbers.as_mut_ptr()) } != 0).then(|| {
        let of = |at: usize| format!("{}.{}.{}", numbers[at], numbers[at + 1], numbers[at + 2]);
        format!("SuiteSparse {}: KLU {}, CHOLMOD {}", of(6), of(0), of(3))
    })
}
