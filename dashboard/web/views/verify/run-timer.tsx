import { useEffect, useRef, useState } from 'preact/hooks';
import { useApp } from '../../app-context.ts';
import { format, text } from '../../text/text.ts';
import { typedNumber } from '../../text/typed-number.ts';
import { elapsedS, IDLE, pressed, type Run, type Stamp, stampOf } from './run-clock.ts';

interface RunTimerProps {
  readonly run: Run;
  readonly targetS: string;
  readonly onRun: (run: Run) => void;
}

const REDRAW_MS = 100;
const nowStamp = (): Stamp => ({ monotonicMs: performance.now(), wallMs: Date.now() });

/** A countdown with one large button. What counts is the time between its two touches. */
export function RunTimer({ run, targetS, onRun }: RunTimerProps) {
  const { screen } = useApp();
  const t = text.value.verify.run;
  const [now, setNow] = useState<Stamp>(nowStamp);
  const running = run.kind === 'running';
  const buzzed = useRef(false);
  // The click that ends a touch already counted.
  const touched = useRef(false);
  const target = typedNumber(targetS) ?? 0;
  const elapsed = run.kind === 'running' ? elapsedS(run.start, now) : run.kind === 'stopped' ? run.runS : 0;
  const due = running && elapsed >= target;

  useEffect(() => {
    if (!running) return;
    const timer = setInterval(() => setNow(nowStamp()), REDRAW_MS);
    // The screen is asked to stay on for the run, and let go after it.
    const held = screen.awake.peek() === 'off';
    if (held) void screen.setAwake(true);
    return () => {
      clearInterval(timer);
      if (held && screen.awake.peek() !== 'unavailable') void screen.setAwake(false);
    };
  }, [running, screen]);

  useEffect(() => {
    if (due && !buzzed.current) navigator.vibrate?.(300);
    buzzed.current = due;
  }, [due]);

  function press(event: Event): void {
    const at = stampOf(event, nowStamp());
    setNow(at);
    onRun(pressed(run, at));
  }

  const left = target - elapsed;
  return (
    <div class="timer" data-run={due ? 'due' : run.kind}>
      <p class="timer-number" aria-hidden="true">
        <span class="timer-digits">
          {run.kind === 'stopped'
            ? format().fixed(run.runS, 2)
            : format().fixed(Math.abs(run.kind === 'idle' ? target : left), 1)}
        </span>{' '}
        <span class="timer-word">
          {run.kind === 'idle' ? t.toGo : run.kind === 'stopped' ? t.ran : due ? t.over : t.toGo}
        </span>
      </p>
      <p class="sr-only" role="status">
        {run.kind === 'running' && (due ? t.due : t.started)}
        {run.kind === 'stopped' && `${format().fixed(run.runS, 2)} ${t.ran}`}
      </p>
      {/* A stopwatch acts as it is touched; a click counts only where no touch came before it, as from keys. Once stopped it
          stays where it is and does nothing, so that a second touch of a glove cannot clear the run. */}
      <button
        class="timer-button primary"
        type="button"
        aria-disabled={run.kind === 'stopped'}
        onPointerDown={event => {
          if (event.button !== 0) return;
          touched.current = true;
          press(event);
        }}
        onKeyDown={() => {
          touched.current = false;
        }}
        onClick={event => {
          if (!touched.current) press(event);
          touched.current = false;
        }}
      >
        {running ? t.stop : run.kind === 'stopped' ? t.stopped : t.start}
      </button>
      {run.kind === 'stopped' && (
        <button type="button" onClick={() => onRun(IDLE)}>
          {t.again}
        </button>
      )}
      {run.kind === 'stopped' && run.disagreementS !== null && (
        <p class="error" role="alert">
          {t.slept(format().fixed(run.disagreementS, 1))}
        </p>
      )}
    </div>
  );
}
