//! One run of the program: plug in, work, say what was sent, unplug.

use std::io::{self, BufRead, Write};
use std::thread;
use std::time::Duration;

use pullmark_sim::console::{HELP, Typed, describe, understand};
use pullmark_sim::person::Person;
use pullmark_sim::pty::PtyError;
use pullmark_sim::script::{Did, Script, ScriptError, Speed, Step, play_and_tell};
use pullmark_sim::tool::{PluggedWrench, ToolError};
use thiserror::Error;

use crate::arguments::{ArgumentError, Plan, Work};

/// Why a run stopped early.
#[derive(Debug, Error)]
pub(crate) enum SessionError {
    #[error(transparent)]
    Arguments(#[from] ArgumentError),
    #[error(transparent)]
    Tool(#[from] ToolError),
    #[error(transparent)]
    Script(#[from] ScriptError),
    #[error("nobody opened {0} within the time of --wait-for-reader")]
    NobodyCame(String),
    #[error("{0} typed lines were not understood or could not be done; see above")]
    NotDone(u32),
    #[error("the output could not be written: {0}")]
    Print(#[from] io::Error),
    #[error("the input could not be read: {0}")]
    Input(io::Error),
}

/// A plugged-in wrench, and where to say what it does.
pub(crate) struct Session<Out> {
    wrench: PluggedWrench,
    work: Work,
    speed: Speed,
    wait_for_reader: Duration,
    stay: bool,
    out: Out,
    /// Typed steps so far: the seed for random bytes.
    typed: u64,
    not_done: u32,
}

impl<Out: Write> Session<Out> {
    /// Plugs the wrench in and says where.
    pub(crate) fn start(plan: Plan, mut out: Out) -> Result<Self, SessionError> {
        let wrench = PluggedWrench::plug(plan.wrench, plan.link)?;
        let tool = &wrench.wrench;
        let link = wrench.port().link().display();
        writeln!(out, "wrench {} is plugged in at {link}", tool.serial())?;
        writeln!(out, "sent  {}", tool.frame_ready().escape_ascii())?;
        out.flush()?;
        Ok(Self {
            wrench,
            work: plan.work,
            speed: plan.speed,
            wait_for_reader: plan.wait_for_reader,
            stay: plan.stay,
            out,
            typed: 0,
            not_done: 0,
        })
    }

    /// Does the work, then stays or unplugs.
    pub(crate) fn run(mut self, input: impl BufRead) -> Result<(), SessionError> {
        self.await_reader()?;
        match std::mem::replace(&mut self.work, Work::Typed) {
            Work::Typed => self.typed(input)?,
            Work::Script(script) => {
                self.script(&script)?;
                self.typed_if_staying(input)?;
            }
            Work::Random { person, pause_ms } => {
                self.random(person, pause_ms)?;
                self.typed_if_staying(input)?;
            }
        }
        self.finish()
    }

    fn await_reader(&mut self) -> Result<(), SessionError> {
        let wait = self.wait_for_reader;
        if wait.is_zero() || self.wrench.drained(wait)? {
            return Ok(());
        }
        let link = self.wrench.port().link().display().to_string();
        Err(SessionError::NobodyCame(link))
    }

    fn script(&mut self, script: &Script) -> Result<(), SessionError> {
        if let Some(title) = &script.title {
            writeln!(self.out, "script: {title}")?;
        }
        let out = &mut self.out;
        let mut printed = Ok(());
        play_and_tell(script, &mut self.wrench, self.speed, |_, did| {
            if printed.is_ok() {
                printed = tell(out, did);
            }
        })?;
        Ok(printed?)
    }

    fn random(&mut self, person: Person, pause_ms: u64) -> Result<(), SessionError> {
        for click in person {
            let sent = self.wrench.pull(click.torque_newton_metre)?;
            let (target, number) = (click.target_newton_metre, click.target.saturating_add(1));
            let again = if click.is_repeat { ", once more" } else { "" };
            let line = describe(&Did::Sent(sent));
            writeln!(self.out, "{line}  (target {number}: {target} N·m{again})")?;
            self.out.flush()?;
            thread::sleep(self.speed.scale(pause_ms));
        }
        Ok(())
    }

    fn typed_if_staying(&mut self, input: impl BufRead) -> Result<(), SessionError> {
        if self.stay { self.typed(input) } else { Ok(()) }
    }

    fn typed(&mut self, mut input: impl BufRead) -> Result<(), SessionError> {
        writeln!(self.out, "type a value such as 5.08, or help")?;
        self.out.flush()?;
        let mut line = Vec::new();
        loop {
            line.clear();
            let count = input
                .read_until(b'\n', &mut line)
                .map_err(SessionError::Input)?;
            if count == 0 {
                return self.stay_plugged();
            }
            match understand(&String::from_utf8_lossy(&line)) {
                Ok(Typed::Quit) => return Ok(()),
                Ok(Typed::Nothing) => {}
                Ok(Typed::Help) => writeln!(self.out, "{HELP}")?,
                Ok(Typed::Step(step)) => self.step(&step)?,
                Err(error) => self.complain(&error.to_string())?,
            }
            self.hear()?;
            self.out.flush()?;
        }
    }

    fn step(&mut self, step: &Step) -> Result<(), SessionError> {
        self.typed = self.typed.saturating_add(1);
        match step.perform(&mut self.wrench, self.speed, self.typed) {
            Ok(did) => Ok(tell(&mut self.out, &did)?),
            Err(error) => self.complain(&error.to_string()),
        }
    }

    fn complain(&mut self, text: &str) -> Result<(), SessionError> {
        self.not_done = self.not_done.saturating_add(1);
        Ok(writeln!(self.out, "not done: {text}")?)
    }

    /// Says what the program wrote to the tool since the last look.
    fn hear(&mut self) -> Result<(), SessionError> {
        let heard = match self.wrench.port().read(Duration::ZERO) {
            Err(PtyError::Unplugged { .. }) => return Ok(()),
            other => other.map_err(ToolError::from)?,
        };
        if !heard.is_empty() {
            writeln!(self.out, "heard {}", heard.escape_ascii())?;
        }
        Ok(())
    }

    /// At the end of the input: only with `--stay` the wrench stays where it is, until the process is stopped.
    fn stay_plugged(&mut self) -> Result<(), SessionError> {
        if !self.stay {
            return Ok(());
        }
        writeln!(self.out, "staying plugged in until stopped")?;
        self.out.flush()?;
        loop {
            thread::park();
        }
    }

    fn finish(mut self) -> Result<(), SessionError> {
        if self.wrench.port().is_plugged() {
            let drained = self.wrench.unplug()?;
            tell(&mut self.out, &Did::Unplugged(Some(drained)))?;
        }
        if self.not_done > 0 {
            return Err(SessionError::NotDone(self.not_done));
        }
        Ok(())
    }
}

fn tell(out: &mut impl Write, did: &Did) -> io::Result<()> {
    writeln!(out, "{}", describe(did))?;
    out.flush()
}
