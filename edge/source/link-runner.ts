/**
 * Runs the link machine on a link: the one owner of its one timer. Events of an earlier opening are ignored.
 */
import type { Link } from './link.ts';
import { initialLink, type LinkInput, type LinkState, stallUsOf, stepLink } from './link-machine.ts';
import type { SourceStateReport } from './source.ts';
import type { SourceClock } from './source-clock.ts';

export interface LinkRunnerHandlers {
  /** A fresh opening: nothing of the one before belongs to it. */
  readonly onOpen: () => void;
  readonly onBytes: (bytes: Uint8Array) => void;
  readonly onState: (report: SourceStateReport) => void;
}

const MAX_DETAIL = 300;

export class LinkRunner {
  private readonly link: Link;
  private readonly clock: SourceClock;
  private readonly handlers: LinkRunnerHandlers;
  private readonly hasNode: boolean;
  private state: LinkState;
  private samplePeriodUs: number | null = null;
  private hint: string | null = null;
  private frameUs: number | null = null;
  private sampleUs: number | null = null;
  private opening = 0;
  private closed: Promise<void> = Promise.resolve();
  private cancelTimer: (() => void) | null = null;
  private timerUs: number | null = null;
  private reported = '';
  private ended: (() => void) | null = null;

  constructor(link: Link, clock: SourceClock, handlers: LinkRunnerHandlers) {
    this.link = link;
    this.hasNode = link.hasNode;
    this.clock = clock;
    this.handlers = handlers;
    this.state = initialLink(0);
  }

  start(): void {
    this.step({ type: 'start' });
  }

  stop(): Promise<void> {
    if (this.state.name === 'ended') return Promise.resolve();
    return new Promise(resolve => {
      this.ended = resolve;
      this.step({ type: 'stop' });
    });
  }

  setSamplePeriod(samplePeriodUs: number | null): void {
    this.samplePeriodUs = samplePeriodUs;
  }

  /** What a person should know when the link stalls: the reason no sample comes, where it is known. */
  setHint(hint: string | null): void {
    this.hint = hint;
  }

  /** Whole frames came: the device lives. */
  sawFrames(): void {
    this.frameUs = this.clock.nowUs();
  }

  sawSamples(): void {
    this.sampleUs = this.clock.nowUs();
    if (this.state.name !== 'streaming') this.step({ type: 'samples' });
  }

  get isStreaming(): boolean {
    return this.state.name === 'streaming';
  }

  hold(): void {
    this.link.hold?.();
  }

  release(): void {
    this.link.release?.();
  }

  private step(input: LinkInput): void {
    const nowUs = this.clock.nowUs();
    const settings = {
      name: this.link.name,
      stallUs: stallUsOf(this.samplePeriodUs),
      hint: this.hint,
      hasNode: this.hasNode,
    };
    const { state, effects } = stepLink(this.state, input, nowUs, settings);
    this.state = state;
    this.report();
    for (const effect of effects) {
      if (effect === 'open') this.open();
      else this.close();
    }
    this.setTimer(nowUs);
    if (state.name === 'ended') this.finish();
  }

  private report(): void {
    const { name, sinceUs, detail, failures, problem } = this.state;
    // A retry is part of being absent: a port that is missing all day is one state, not two by turns.
    if (name === 'opening' && failures > 0) return;
    const text = detail?.slice(0, MAX_DETAIL) ?? null;
    const key = `${name} ${text}`;
    if (key === this.reported) return;
    this.reported = key;
    this.handlers.onState({
      state: name,
      sinceUs,
      detail: text,
      problem: name === 'absent' ? (problem?.code ?? null) : null,
    });
  }

  private open(): void {
    const opening = ++this.opening;
    const isCurrent = (): boolean => opening === this.opening;
    this.frameUs = null;
    this.sampleUs = null;
    void this.closed.then(() => {
      if (!isCurrent()) return;
      this.link.open({
        onOpen: () => {
          if (!isCurrent()) return;
          this.handlers.onOpen();
          this.step({ type: 'opened' });
        },
        onBytes: bytes => {
          if (isCurrent()) this.handlers.onBytes(bytes);
        },
        onDown: problem => {
          if (isCurrent()) this.step({ type: 'down', problem });
        },
      });
    });
  }

  private close(): void {
    this.opening++;
    this.closed = this.closed.then(() => this.link.close());
    void this.closed.then(() => this.step({ type: 'closed' }));
  }

  private setTimer(nowUs: number): void {
    const { dueUs } = this.state;
    if (dueUs === this.timerUs) return;
    this.cancelTimer?.();
    this.cancelTimer = null;
    this.timerUs = dueUs;
    if (dueUs === null) return;
    this.cancelTimer = this.clock.after(Math.max(0, Math.ceil((dueUs - nowUs) / 1000)), () => {
      this.cancelTimer = null;
      this.timerUs = null;
      const present = this.hasNode ? this.link.present() : null;
      this.step({ type: 'due', frameUs: this.frameUs, sampleUs: this.sampleUs, present });
    });
  }

  private finish(): void {
    this.cancelTimer?.();
    this.cancelTimer = null;
    this.ended?.();
    this.ended = null;
  }
}
