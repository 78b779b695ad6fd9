//! Moments at which something calls that is no step's cue and no oven.

use mealtide::live::{
    Action, Board, Call, CallKey, Priority,
    board::{Choice, Focus},
};

use super::parts::*;

fn called(now: i64, call: Call, word: &str) -> Board {
    Board {
        focus: Focus {
            action: call.action.clone(),
            word: word.into(),
            subject: call.subject.clone(),
            sentence: call.sentence.clone(),
            moment: Some(call.since),
            ..Focus::default()
        },
        calls: vec![call],
        countdowns: vec![chicken()],
        ovens: vec![roasting()],
        undoable: 3,
        ..evening(now, 0)
    }
}

/// A step ends in less than a minute: look then.
pub fn soon() -> Board {
    let (now, due) = (at(18, 49) + 12_000, at(18, 50));
    let key = CallKey::HeadsUp { step: 6, due };
    let mut board = called(
        now,
        Call {
            key: key.clone(),
            priority: Priority::Low,
            since: at(18, 49),
            subject: "Roast chicken".into(),
            sentence: "Look in 1 min: Roast on the middle rack, breast up".into(),
            action: Some(Action::Answer(key)),
            silent: false,
        },
        "got it",
    );
    board.focus.moment = Some(due);
    board
}

/// A course is due on the table, and has been for two minutes.
pub fn serve() -> Board {
    let call = Call {
        key: CallKey::Serve { course: 0 },
        priority: Priority::High,
        since: at(19, 30),
        subject: "First".into(),
        sentence: "Serve First: Celeriac soup, Gougeres".into(),
        action: Some(Action::Serve(0)),
        silent: false,
    };
    called(at(19, 32) + 20_000, call, "on the table")
}

/// Was the sound heard?
pub fn sound_test() -> Board {
    let mut board = called(
        at(16, 31),
        Call {
            key: CallKey::SoundTest,
            priority: Priority::Medium,
            since: at(16, 31),
            subject: "Sound".into(),
            sentence: "Was the test sound heard?".into(),
            action: Some(Action::Heard(true)),
            silent: false,
        },
        "yes, heard",
    );
    board.countdowns.clear();
    board.undoable = 0;
    board.focus.amounts = vec!["through PulseAudio".into()];
    board.focus.choices = vec![Choice {
        action: Action::Heard(false),
        words: "no".into(),
    }];
    board
}
