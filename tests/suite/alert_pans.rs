//! Pans that are looked at again and again on a screen that is drawn, while the planner proves on both cores: the cook of
//! the calls that are measured. Time runs faster, and nothing else is made up.

use std::{
    fs::File,
    io::{self, Read},
    path::Path,
    sync::{
        Arc, Mutex,
        atomic::{AtomicU32, Ordering},
    },
    time::{Duration, Instant},
};

use jiff::ZonedDateTime;
use mealtide::{
    alert::Sounding,
    engine::{
        clock::{Clock, Jumped, Real},
        core::{Core, Effort},
        face::{Face, Input, View},
        prover::{Background, Found, Prover},
        run::{Ending, Loop, Passing},
    },
    live::{Action, Board, CallKey, Ms, Opening, State, typed::Typed},
    log::Writer,
    measure::units::Units,
    plan::{
        Part,
        problem::Problem,
        schedule::Schedule,
        solver::{Engine, Search},
    },
    screen::{self, Keys, Theme, Ui, app, terminal::Screen},
};
use portable_pty::native_pty_system;
use ratatui::layout::Size;

use super::{
    server::Server,
    sound_only,
    stage::{Scene, Stage},
};
use crate::{
    dinner::{opening, opening_of},
    pty::size,
};

const OPENED: &str = "2026-12-21T15:00:00+01:00[Europe/Berlin]";
const PANS: usize = 20;

/// Real clocks, of which the session's runs so many times faster.
struct Fast {
    real: Real,
    speed: Ms,
    /// When it showed 0.
    zero: Instant,
}

impl Fast {
    fn start(speed: Ms) -> Self {
        let real = Real::starting_at(0).unwrap();
        let first = real.now();
        while real.now() == first {
            std::hint::spin_loop();
        }
        let zero = Instant::now() - Duration::from_millis(u64::try_from(real.now()).unwrap());
        Self { real, speed, zero }
    }

    fn instant(zero: Instant, speed: Ms, at: Ms) -> Instant {
        zero + Duration::from_micros(u64::try_from(at * 1000 / speed).unwrap())
    }
}

impl Clock for Fast {
    fn now(&self) -> Ms {
        self.real.now() * self.speed
    }

    fn civil(&self) -> ZonedDateTime {
        self.real.civil()
    }

    fn look(&mut self) -> Vec<Jumped> {
        Vec::new()
    }

    async fn sleep_until(&self, at: Ms) {
        self.real
            .sleep_until(at.div_euclid(self.speed) + Ms::from(at.rem_euclid(self.speed) > 0))
            .await;
    }

    async fn disturbed(&self) {
        std::future::pending().await
    }
}

/// The program's own planner, twice, without an end.
struct Both {
    provers: [Prover; 2],
    problem: Arc<Problem>,
    proofs: Arc<AtomicU32>,
}

/// No plan of this session was made then: what is found is not used.
const NEVER: Ms = -1;

impl Background for Both {
    fn search<S: Engine + Default + Send + 'static>(
        &mut self,
        _: Arc<Problem>,
        _: Option<Schedule>,
        _: Ms,
    ) {
    }

    async fn found(&mut self) -> Found {
        loop {
            let [one, other] = &mut self.provers;
            let done = tokio::select! {
                _ = one.found() => 0,
                _ = other.found() => 1,
            };
            self.proofs.fetch_add(1, Ordering::Relaxed);
            self.provers[done].search::<Search>(self.problem.clone(), None, NEVER);
        }
    }

    fn stop(&mut self) {}
}

/// What became of one call.
#[derive(Clone, Debug, Default)]
pub struct Fate {
    pub scene: usize,
    /// The deadline.
    pub due: Ms,
    pub seen: bool,
    pub sounded: Option<Duration>,
    pub beeped: bool,
    /// It rang again before all of that had come.
    pub again: bool,
}

#[derive(Default)]
pub struct Told {
    pub fates: Vec<Fate>,
    /// How late each frame was drawn, with its scene.
    pub frames: Vec<(usize, Duration)>,
}

/// The cook, who says "not yet" as soon as a call was heard.
struct Cook {
    screen: Screen<File>,
    ui: Ui,
    board: Option<Board>,
    zero: Instant,
    speed: Ms,
    scenes: Vec<Scene>,
    stage: Arc<Stage>,
    told: Arc<Mutex<Told>>,
    begun: usize,
    scene: usize,
    left: usize,
    /// A call rings: what became of it.
    fate: Option<Fate>,
    ready: bool,
    next_frame: Mutex<Option<Ms>>,
    unready: usize,
}

impl Cook {
    /// All that is waited for has come.
    fn is_over(&mut self) -> bool {
        let scene = self.scenes[self.scene];
        let at = self
            .fate
            .as_ref()
            .map(|fate| Fast::instant(self.zero, self.speed, fate.due));
        let Some((fate, at)) = self.fate.as_mut().zip(at) else {
            return false;
        };
        if fate.sounded.is_none()
            && let Some(loud) = self.stage.loud()
        {
            fate.sounded = Some(loud.saturating_duration_since(at));
            self.stage.play(scene.at_sound);
        }
        fate.again || (fate.sounded.is_some() >= scene.sounds && fate.beeped >= scene.beeps)
    }

    /// Puts the call off, and sets the stage for the next.
    fn put_off(&mut self) -> Input {
        self.told.lock().unwrap().fates.extend(self.fate.take());
        self.ready = false;
        self.left -= 1;
        let mut long = self.scenes[self.scene].gap;
        if self.left == 0 {
            self.scene += 1;
            let Some(scene) = self.scenes.get(self.scene) else {
                return Input::Leave;
            };
            self.left = scene.calls;
            self.stage.play(scene.before);
            long = 60_000;
        }
        Input::Act(Action::Extend(0, long))
    }
}

impl Face for Cook {
    fn show(&mut self, view: &View<'_>) -> io::Result<()> {
        let board = view.state.board(view.now, Units::Author);
        let ui = &self.ui;
        let mut words = String::new();
        self.screen.draw(|buffer| {
            let cursor = screen::paint(buffer, &board, ui).cursor;
            words = buffer.content().iter().map(|cell| cell.symbol()).collect();
            cursor
        })?;
        if let Some(at) = self
            .next_frame
            .lock()
            .unwrap()
            .take_if(|at| *at <= view.now)
        {
            let late =
                Instant::now().saturating_duration_since(Fast::instant(self.zero, self.speed, at));
            self.told.lock().unwrap().frames.push((self.scene, late));
        }
        self.board = Some(board);
        let rung = view.ring.and_then(|ring| {
            ring.calls
                .iter()
                .find(|call| matches!(call.key, CallKey::Cue { step: 0, .. }))
        });
        if let Some(call) = rung {
            match &mut self.fate {
                Some(fate) => fate.again = true,
                None => {
                    self.unready += usize::from(!self.ready);
                    self.fate = Some(Fate {
                        scene: self.scene,
                        due: call.since,
                        seen: words.contains("Pan 0") && words.contains("NOW"),
                        ..Fate::default()
                    });
                }
            }
        }
        Ok(())
    }

    async fn input(&mut self) -> Input {
        if self.begun < PANS {
            self.begun += 1;
            return Input::Act(Action::Begin(self.begun - 1));
        }
        loop {
            if self.is_over() {
                return self.put_off();
            }
            if self.fate.is_none() && !self.ready {
                self.ready = self.stage.ready(self.scenes[self.scene].sounds);
            }
            tokio::time::sleep(Duration::from_millis(3)).await;
        }
    }

    fn changes_at(&self, _: &State, now: Ms) -> Option<Ms> {
        let board = self.board.as_ref()?;
        let at = app::next_redraw(board, &self.ui).map(|at| at.max(now + 1));
        let mut next = self.next_frame.lock().unwrap();
        // One that is past is still to be drawn.
        if next.is_none_or(|before| before > now) {
            *next = at;
        }
        at
    }

    fn refuse(&mut self, why: &str) {
        panic!("{why}");
    }

    fn answer(&mut self, _: &Typed, _: &State, _: Ms) {}

    fn beep(&mut self) -> io::Result<()> {
        if let Some(fate) = &mut self.fate {
            fate.beeped = true;
        }
        Ok(())
    }

    fn suspend(&mut self) -> io::Result<()> {
        Ok(())
    }
}

/// One pan that is looked at again and again, among others that simmer for hours.
fn pans() -> Opening {
    let mut text = "title = 'Twenty pans'\nguests = 2\nserve = '2026-12-21 21:30'\n[kitchen]\nburners = 20\n[[course]]\nname = 'All'\n".to_owned();
    let dishes: Vec<String> = (0..PANS).map(|i| format!("'d{i}'")).collect();
    text += &format!("dishes = [{}]\n", dishes.join(", "));
    for i in 0..PANS {
        let takes = if i == 0 { "1 min" } else { "300 min" };
        text += &format!(
            "[[dish]]\nid = 'd{i}'\ntitle = 'Pan {i}'\n[[dish.step]]\nid = 'simmer'\ndo = 'Simmer with the lid on'\n\
             takes = '{takes}'\nhands = 'off'\nneeds = ['burner']\nuntil = 'it is tender'\nlead = '0 min'\n"
        );
    }
    opening_of(&text, Part::Service, OPENED)
}

/// A terminal of the system that somebody reads.
fn terminal() -> File {
    let pair = native_pty_system().openpty(size(40, 120)).unwrap();
    let name = pair.master.tty_name().unwrap();
    let file = File::options().write(true).open(name).unwrap();
    let mut reader = pair.master.try_clone_reader().unwrap();
    std::thread::spawn(move || {
        // The slave's other end is kept open as long as it is read.
        let _master = pair.master;
        let mut bytes = [0; 65_536];
        while let Ok(1..) = reader.read(&mut bytes) {}
    });
    file
}

/// Cooks through scenes, with a server that is `running` from the first.
pub fn cook(scenes: Vec<Scene>, speed: Ms, log: &Path, running: bool) -> Told {
    let stage = Arc::new(Stage::default());
    let server = if running {
        Server::running()
    } else {
        Server::absent()
    };
    let config = sound_only(server.surroundings());
    if running {
        *stage.recorder.lock().unwrap() = Some(server.record());
    }
    *stage.server.lock().unwrap() = Some(server);
    let told = Arc::new(Mutex::new(Told::default()));
    let proofs = Arc::new(AtomicU32::new(0));
    let problem = Core::open(
        opening("midwinter-supper"),
        Search::new(),
        Effort::default(),
    )
    .unwrap()
    .problem()
    .clone();
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()
        .unwrap();
    let begun = Instant::now();
    let ended = runtime.block_on(async {
        let clock = Fast::start(speed);
        let mut provers = [Prover::default(), Prover::default()];
        for prover in &mut provers {
            prover.search::<Search>(problem.clone(), None, NEVER);
        }
        let cook = Cook {
            screen: Screen::new(
                terminal(),
                Size {
                    width: 120,
                    height: 40,
                },
            ),
            ui: Ui::new(Theme::named("dark").unwrap(), Keys::shipped()),
            board: None,
            zero: clock.zero,
            speed,
            left: scenes[0].calls,
            scenes,
            stage: stage.clone(),
            told: told.clone(),
            begun: 0,
            scene: 0,
            fate: None,
            ready: false,
            next_frame: Mutex::new(None),
            unready: 0,
        };
        Loop::<Search, _, _, _, _> {
            core: Core::open(pans(), Search::new(), Effort::default()).unwrap(),
            clock,
            log: Some(Writer::create(log, &OPENED.parse().unwrap()).unwrap()),
            face: cook,
            bell: Sounding::start(config),
            background: Both {
                provers,
                problem,
                proofs: proofs.clone(),
            },
            passing: Passing::Real,
        }
        .run()
        .await
    });
    assert_eq!(ended.unwrap(), Ending::Left);
    println!(
        "{:.0} s, {} searches on two threads, load {}",
        begun.elapsed().as_secs_f64(),
        proofs.load(Ordering::Relaxed),
        std::fs::read_to_string("/proc/loadavg")
            .unwrap_or_default()
            .trim()
    );
    std::mem::take(&mut *told.lock().unwrap())
}
