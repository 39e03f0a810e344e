//! What `samefit refresh` survives: being killed, a full disk, a second run, SIGTERM. Real processes, real signals.
//!
//! However a night ends, the output is the old run or the new one, byte for byte, and the next night needs no hand.

#![cfg(unix)]

use crate::nights::{Dice, LISTS, Shop, signal, wait_for};
use std::fs;
use std::path::Path;
use std::process::Command;
use std::time::{Duration, Instant};

/// How often each fault is brought about.
const TIMES: u64 = 100;
/// The date of all nights, so that the tables of a list depend on the list alone.
const DATE: &str = "2026-10-01";

type Tables = Vec<(String, Vec<u8>)>;

/// A shop that has been through both of two lists, and the tables of each.
struct TwoLists {
    shop: Shop,
    tables: [Tables; 2],
    /// How long a night takes that has something to do.
    usual: Duration,
}

impl TwoLists {
    fn of(shop: Shop) -> TwoLists {
        let two = TwoLists {
            shop,
            tables: [Vec::new(), Vec::new()],
            usual: Duration::ZERO,
        };
        let mut two = two;
        // ids and prices settle over a few nights
        for night in 0..6 {
            let which = night % 2;
            two.lay_out(which);
            let start = Instant::now();
            two.shop.night(DATE, &[]).with_code(0);
            two.usual = start.elapsed();
            if night >= 4 {
                assert!(
                    two.shop.tables() == two.tables[which],
                    "the tables of a list depend on the list alone"
                );
            }
            two.tables[which] = two.shop.tables();
        }
        assert!(two.tables[0] != two.tables[1]);
        two
    }

    /// Lays out the first or the second list, which differ in some prices.
    fn lay_out(&self, which: usize) {
        let (from, to) = if which == 0 { (",9", ",8") } else { (",8", ",9") };
        self.shop.change(LISTS[1], |lines| {
            for line in lines.iter_mut().skip(1).step_by(7) {
                // the first decimal of the price, which stands before the last cell
                let Some(at) = line.rfind(';').and_then(|end| end.checked_sub(3)) else {
                    continue;
                };
                if line.get(at..at + 2) == Some(from) {
                    line.replace_range(at..at + 2, to);
                }
            }
        });
    }

    /// What stands: the tables of the first list, of the second, or something that must not be.
    fn standing(&self) -> Option<usize> {
        let stands = self.shop.tables();
        self.tables.iter().position(|tables| *tables == stands)
    }
}

#[test]
fn killed_at_a_hundred_moments_the_old_or_the_new_run_stands_and_the_next_needs_no_hand() {
    let two = TwoLists::of(Shop::plain());
    let mut dice = Dice(20_261_125);
    let (mut old, mut new) = (0, 0);
    for time in 0..TIMES {
        let target = (time % 2) as usize;
        two.lay_out(target);
        let moment = two.usual.mul_f64(dice.roll(1_400) as f64 / 1_000.0);
        let mut night = two.shop.start(DATE);
        std::thread::sleep(moment);
        let _ = night.kill();
        night.wait().unwrap();
        match two.standing() {
            Some(which) if which == target => new += 1,
            Some(_) => old += 1,
            None => panic!("killed after {moment:?}, neither the old nor the new run stands"),
        }
        two.shop.night(DATE, &[]).with_code(0);
        assert_eq!(
            two.standing(),
            Some(target),
            "the next night after a kill at {moment:?}"
        );
    }
    println!(
        "killed {TIMES} times over {:?}: {old} times the old run stood, {new} times the new one",
        two.usual
    );
    assert_eq!(old + new, TIMES);
    assert!(
        old > 0 && new > 0,
        "the moments must lie on both sides of publishing: {old} old, {new} new"
    );
}

/// A file system of a few megabytes at a folder, unmounted when dropped.
struct SmallDisk<'a>(&'a Path);

impl SmallDisk<'_> {
    fn mounted(at: &Path) -> Option<SmallDisk<'_>> {
        fs::create_dir_all(at).unwrap();
        let mount = Command::new("mount")
            .args(["-t", "tmpfs", "-o", "size=64m", "tmpfs"])
            .arg(at)
            .output();
        mount.ok().filter(|mount| mount.status.success()).map(|_| SmallDisk(at))
    }

    /// Kibibytes in use.
    fn used(&self) -> u64 {
        let output = Command::new("df").arg("--output=used").arg(self.0).output().unwrap();
        let text = String::from_utf8(output.stdout).unwrap();
        text.lines().nth(1).unwrap().trim().parse().unwrap()
    }

    fn resize(&self, kibibytes: u64) {
        let size = format!("remount,size={kibibytes}k");
        let status = Command::new("mount").args(["-o", &size]).arg(self.0).status().unwrap();
        assert!(status.success());
    }
}

impl Drop for SmallDisk<'_> {
    fn drop(&mut self) {
        let _ = Command::new("umount").arg("-l").arg(self.0).status();
    }
}

/// A night in which no file may grow past so many kibibytes.
fn night_with_short_files(shop: &Shop, kibibytes: u64) -> Option<i32> {
    let night = shop.command(DATE, &[]);
    let mut shell = Command::new("bash");
    shell
        .args([
            "-c",
            &format!("trap '' XFSZ; ulimit -f {kibibytes}; exec \"$0\" \"$@\""),
        ])
        .arg(night.get_program())
        .args(night.get_args())
        .current_dir(env!("CARGO_MANIFEST_DIR"));
    shell.output().unwrap().status.code()
}

#[test]
fn on_a_disk_full_at_a_hundred_sizes_the_old_or_the_new_run_stands_and_the_next_needs_no_hand() {
    let home = tempfile::tempdir().unwrap();
    let place = home.path().join("disk");
    let disk = SmallDisk::mounted(&place);
    let two = TwoLists::of(Shop::in_folder(
        home.path(),
        "keep = 2\n[[source]]\nfolder = \"lists\"\n",
    ));
    let largest = two.tables[0].iter().map(|table| table.1.len() as u64).max().unwrap() / 1024;
    let all: u64 = two.tables[0].iter().map(|table| table.1.len() as u64).sum::<u64>() / 1024;
    let mut dice = Dice(17);
    let (mut old, mut new) = (0, 0);
    for time in 0..TIMES {
        let target = (time % 2) as usize;
        two.lay_out(target);
        let (code, room) = match &disk {
            Some(disk) => {
                let room = dice.roll(6 * all);
                disk.resize(disk.used() + room);
                let code = two.shop.night(DATE, &[]).code;
                disk.resize(64 * 1024);
                (Some(code), room)
            }
            None => {
                // the workbook is written through a plain file several times its size
                let room = dice.roll(5 * largest) + 1;
                (night_with_short_files(&two.shop, room), room)
            }
        };
        match two.standing() {
            Some(which) if which == target => {
                new += 1;
            }
            Some(_) => {
                old += 1;
                assert_eq!(code, Some(1), "room for {room} KiB");
            }
            None => panic!("with room for {room} KiB neither the old nor the new run stands"),
        }
        two.shop.night(DATE, &[]).with_code(0);
        assert_eq!(two.standing(), Some(target), "the next night after room for {room} KiB");
    }
    let how = if disk.is_some() {
        "a small disk"
    } else {
        "a limit on files"
    };
    println!("{TIMES} sizes of {how}: {old} times the old run stood, {new} times the new one");
    assert_eq!(old + new, TIMES);
    assert!(
        old > 0 && new > 0,
        "the sizes must lie on both sides of what is needed: {old} old, {new} new"
    );
}

#[test]
fn a_second_night_is_told_at_once_who_is_at_work() {
    let shop = Shop::plain();
    let mut first = shop.start(DATE);
    let lock = shop.at("disk/out/refresh.lock");
    wait_for(&lock);
    signal(&first, "STOP");
    let start = Instant::now();
    let second = shop
        .night(DATE, &[])
        .with_code(5)
        .saying(&format!("process {} since ", first.id()));
    assert!(start.elapsed() < Duration::from_secs(20), "{}", second.stderr);
    shop.night(DATE, &["--wait", "1"]).with_code(5);
    signal(&first, "CONT");
    shop.night(DATE, &["--wait", "60"]).with_code(0);
    assert!(first.wait().unwrap().success());
    assert!(lock.exists(), "the lock's file stays");
}

#[test]
fn sigterm_leaves_the_old_run_and_ends_with_143() {
    let two = TwoLists::of(Shop::plain());
    two.lay_out(0);
    let lock = two.shop.at("disk/out/refresh.lock");
    fs::write(&lock, "").unwrap();
    let night = two.shop.start(DATE);
    wait_for(&lock);
    signal(&night, "STOP");
    signal(&night, "TERM");
    signal(&night, "CONT");
    let output = night.wait_with_output().unwrap();
    assert_eq!(
        output.status.code(),
        Some(143),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    assert!(String::from_utf8_lossy(&output.stderr).contains("stopped by SIGTERM"));
    assert_eq!(two.standing(), Some(1));
    two.shop.night(DATE, &[]).with_code(0);
    assert_eq!(two.standing(), Some(0));
}
