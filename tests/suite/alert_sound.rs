//! The audible proof: what the worker plays, read back from a recording of a real sound server.

use mealtide::alert::{AlertConfig, Alerts, Audition, Notes, Priority, Way};
use rustix::process::Signal;

use super::{
    call,
    ear::{Ear, listen, sox_level},
    installed,
    server::{Recorder, Server},
    sound_only, until,
};

const PROGRAMS: [&str; 3] = ["pulseaudio", "parec", "sox"];
const ALL: [Priority; 3] = [Priority::Low, Priority::Medium, Priority::High];

/// What is heard while one call sounds to its end.
fn heard(
    recorder: &Recorder,
    audition: &mut Audition,
    priority: Priority,
) -> (Vec<Way>, Ear, Vec<i16>) {
    recorder.silence(100);
    recorder.forget();
    let ways = audition
        .hear(call("1", priority, "Turn the oven down"))
        .ways;
    // A sink without a device lags behind what was confirmed.
    let samples = recorder.after(1000);
    (ways, listen(&samples), samples)
}

/// Whether an ear heard the pulses of a priority.
fn as_written(ear: &Ear, priority: Priority) -> Result<(), String> {
    let notes = Notes::built_in().unwrap();
    let pattern = notes.of(priority);
    ear.heard(&pattern.onsets_ms(), f64::from(pattern.pitch_hz))
}

#[test]
fn each_priority_is_heard_with_its_pulses_pace_and_pitch() {
    if !installed(&PROGRAMS) {
        return;
    }
    let server = Server::running();
    let recorder = server.record();
    let mut audition = Audition::start(sound_only(server.surroundings()));
    for priority in ALL {
        let (ways, ear, samples) = heard(&recorder, &mut audition, priority);
        assert_eq!(ways, [Way::Server]);
        as_written(&ear, priority).unwrap();
        let pitch = f64::from(Notes::built_in().unwrap().of(priority).pitch_hz);
        let (at, between) = (
            sox_level(&samples, pitch * 0.9, pitch * 1.1),
            sox_level(&samples, pitch * 1.4, pitch * 1.6),
        );
        assert!(
            at > 0.01 && at > 5.0 * between,
            "{priority:?}: {at} at the pitch, {between} between"
        );
    }
}

/// The control: the same measure must say no to silence, and to another priority.
#[test]
fn silence_is_not_taken_for_a_call() {
    if !installed(&PROGRAMS) {
        return;
    }
    let server = Server::running();
    let recorder = server.record();
    let mute = AlertConfig {
        loudness: 0,
        ..sound_only(server.surroundings())
    };
    let mut audition = Audition::start(mute);
    let (ways, ear, _) = heard(&recorder, &mut audition, Priority::Low);
    assert_eq!(
        ways,
        [Way::Server],
        "the server took it; that alone is not a proof"
    );
    assert!(as_written(&ear, Priority::Low).is_err());
    assert_eq!(ear.onsets.len(), 0);
    drop(audition);
    let mut audition = Audition::start(sound_only(server.surroundings()));
    let (_, ear, _) = heard(&recorder, &mut audition, Priority::Low);
    assert!(as_written(&ear, Priority::Low).is_ok());
    assert!(as_written(&ear, Priority::Medium).is_err());
}

#[test]
fn an_answer_silences_what_is_playing() {
    if !installed(&PROGRAMS) {
        return;
    }
    let server = Server::running();
    let recorder = server.record();
    let alerts = Alerts::start(sound_only(server.surroundings()));
    recorder.forget();
    alerts.announce(call("1", Priority::High, "Turn the oven down"));
    until("the first pulse", || recorder.loud().is_some());
    alerts.answered("1");
    // The gap between the two halves is shorter than this.
    let ear = listen(&recorder.after(4000));
    assert!((1..10).contains(&ear.onsets.len()), "{ear:?}");
}

#[test]
fn a_more_urgent_call_interrupts_and_a_lesser_one_waits() {
    if !installed(&PROGRAMS) {
        return;
    }
    let server = Server::running();
    let recorder = server.record();
    let alerts = Alerts::start(sound_only(server.surroundings()));
    recorder.forget();
    alerts.announce(call("1", Priority::High, "Turn the oven down"));
    until("the first pulse", || recorder.loud().is_some());
    alerts.announce(call("2", Priority::Low, "Stir"));
    let notes = Notes::built_in().unwrap();
    let both = listen(&recorder.after(notes.high.total_ms() as usize + 2500));
    assert_eq!(both.onsets.len(), 12, "{both:?}");

    recorder.forget();
    alerts.announce(call("3", Priority::Low, "Stir"));
    until("the first pulse", || recorder.loud().is_some());
    alerts.announce(call("4", Priority::High, "Turn the oven down"));
    let ear = listen(&recorder.after(notes.high.total_ms() as usize + 1500));
    assert!((10..=11).contains(&ear.onsets.len()), "{ear:?}");
}

#[test]
fn without_a_server_the_bell_is_asked_for_and_with_one_again_nothing_is_lost() {
    if !installed(&PROGRAMS) {
        return;
    }
    let mut server = Server::absent();
    let mut audition = Audition::start(sound_only(server.surroundings()));
    for _ in 0..3 {
        let heard = audition.hear(call("1", Priority::Low, "Stir"));
        assert_eq!(heard.ways, [Way::Bell]);
        let failed: Vec<Way> = heard.failed.iter().map(|(way, _)| *way).collect();
        assert_eq!(failed, [Way::Server, Way::Player]);
    }
    server.start();
    let recorder = server.record();
    let (ways, ear, _) = heard(&recorder, &mut audition, Priority::Medium);
    assert_eq!(ways, [Way::Server]);
    as_written(&ear, Priority::Medium).unwrap();
}

#[test]
fn a_server_killed_in_mid_tone_is_noticed_and_its_successor_used() {
    if !installed(&PROGRAMS) {
        return;
    }
    let mut server = Server::running();
    let recorder = server.record();
    let mut audition = Audition::start(sound_only(server.surroundings()));
    recorder.forget();
    let told = std::thread::scope(|scope| {
        let told = scope.spawn(|| audition.hear(call("1", Priority::High, "Turn the oven down")));
        until("the third pulse", || {
            listen(&recorder.so_far()).onsets.len() >= 3
        });
        server.kill();
        told.join().unwrap()
    });
    assert_eq!(told.ways, [Way::Server, Way::Bell], "{told:?}");
    assert_eq!(told.failed[0].0, Way::Server);
    drop(recorder);
    server.start();
    let recorder = server.record();
    for priority in ALL {
        let (ways, ear, _) = heard(&recorder, &mut audition, priority);
        assert_eq!(ways, [Way::Server]);
        as_written(&ear, priority).unwrap();
    }
}

#[test]
fn a_frozen_server_costs_a_bounded_time_and_plays_again_when_it_goes_on() {
    if !installed(&PROGRAMS) {
        return;
    }
    let server = Server::running();
    let mut audition = Audition::start(sound_only(server.surroundings()));
    server.signal(Signal::STOP);
    // More calls than its queue of connections holds.
    for _ in 0..12 {
        let heard = audition.hear(call("1", Priority::High, "Turn the oven down"));
        assert_eq!(heard.ways, [Way::Bell], "{heard:?}");
    }
    server.signal(Signal::CONT);
    let recorder = server.record();
    recorder.silence(500);
    for priority in ALL {
        let (ways, ear, _) = heard(&recorder, &mut audition, priority);
        assert_eq!(ways, [Way::Server]);
        as_written(&ear, priority).unwrap();
    }
}

/// Frozen in mid-tone: the caller gets on, and the next call after the thaw is whole.
#[test]
fn a_server_frozen_in_mid_tone_does_not_hold_up_the_next_call() {
    if !installed(&PROGRAMS) {
        return;
    }
    let server = Server::running();
    let recorder = server.record();
    let mut audition = Audition::start(sound_only(server.surroundings()));
    std::thread::scope(|scope| {
        recorder.forget();
        let told = scope.spawn(|| audition.hear(call("1", Priority::High, "Turn the oven down")));
        until("the third pulse", || {
            listen(&recorder.so_far()).onsets.len() >= 3
        });
        server.signal(Signal::STOP);
        told.join().unwrap();
    });
    assert_eq!(
        audition.hear(call("2", Priority::Low, "Stir")).ways,
        [Way::Bell]
    );
    server.signal(Signal::CONT);
    recorder.silence(1500);
    let (ways, ear, _) = heard(&recorder, &mut audition, Priority::Medium);
    assert_eq!(ways, [Way::Server]);
    as_written(&ear, Priority::Medium).unwrap();
}
