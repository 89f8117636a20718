//! How the page reaches the engine: bytes of a request in, bytes of an answer out, through the memory they share.
#![allow(unsafe_code, reason = "a page and its engine share nothing but memory")]

use crate::engine::Engine;
use std::cell::RefCell;

thread_local! {
    static ENGINE: RefCell<Engine> = RefCell::new(Engine::default());
}

/// Room for a request of so many bytes; `bench_ask` takes it back.
#[unsafe(no_mangle)]
pub extern "C" fn bench_reserve(len: usize) -> *mut u8 {
    Box::into_raw(vec![0_u8; len].into_boxed_slice()).cast()
}

/// Answers the request that stands in room of `bench_reserve`: address and length of the answer, the address in the
/// upper half; `bench_release` takes it back.
///
/// # Safety
/// `at` and `len` are those of one `bench_reserve`, and are given once.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn bench_ask(at: *mut u8, len: usize) -> u64 {
    // SAFETY: the caller gives back what `bench_reserve` made, whose length is this one.
    let request = unsafe { Box::from_raw(std::ptr::slice_from_raw_parts_mut(at, len)) };
    let answer = ENGINE.with_borrow_mut(|engine| engine.answer(&String::from_utf8_lossy(&request)));
    let answer = answer.into_bytes().into_boxed_slice();
    let len = answer.len();
    let at = Box::into_raw(answer).cast::<u8>();
    ((at.expose_provenance() as u64) << 32) | len as u64
}

/// Takes back an answer.
///
/// # Safety
/// `at` and `len` are those of one answer of `bench_ask`, and are given once.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn bench_release(at: *mut u8, len: usize) {
    // SAFETY: the caller gives back what `bench_ask` made, whose length is this one.
    drop(unsafe { Box::from_raw(std::ptr::slice_from_raw_parts_mut(at, len)) });
}
