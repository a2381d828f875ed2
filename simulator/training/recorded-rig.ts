import { readFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { whyNotRead } from '#core/program/why-not-read';
import { CHANNEL_NAMES, type Channel } from '#core/sample/channels';
import type { DeviceFrame } from '../rig/rig-frame.ts';
import type { RigPlace } from '../rig/rig-program.ts';
import type { RigSettings } from '../rig/rig-settings.ts';
import type { FrameSource } from '../run/rig-line.ts';
import { plannedPasses } from '../scenario/joint-plan.ts';
import { ScenarioError } from '../scenario/load-scenario.ts';
import { rigsOfScenario } from '../scenario/rigs-of-scenario.ts';
import type { Scenario } from '../scenario/scenario.ts';
import type { LessonFile } from './lesson-file.ts';
import type { LessonPass, LessonRig, LessonRigEvent } from './lesson-rig.ts';
import { parseSamples, type RecordedSamples } from './recorded-samples.ts';

/** A recorded pass and when it is played, µs of simulated time. */
export interface PlayedPass {
  readonly startUs: number;
  readonly pass: LessonPass;
  readonly recorded: RecordedSamples;
}

const ARC_A = 15;
/** After a recording nothing flows in what is played: so long its device says so, and the record sees the arc out. */
const REST_US = 4_000_000;
const FLOWS = ['weldingCurrent', 'arcVoltage', 'power', 'wireFeedSpeed', 'travelSpeed'] as const;

/** The rigs of a recorded lesson, one after the other their recordings. Throws ScenarioError. */
export async function recordedRigs(
  lesson: LessonFile,
  file: string,
  scenario: Scenario,
  frameMs: number,
): Promise<LessonRig[]> {
  return await Promise.all(
    rigsOfScenario(scenario, lesson.seed, null, frameMs).map(async ({ settings }) => {
      const rig = scenario.rig.find(({ id }) => id === settings.id)!;
      const played: PlayedPass[] = [];
      for (const planned of plannedPasses(scenario, rig, 0)) {
        const joint = Number(planned.joint.slice(scenario.joints.prefix.length)) - scenario.joints.first + 1;
        const recording = lesson.recording.find(
          one => one.rig === rig.id && one.pass === planned.setPoint.name && one.joint === joint,
        );
        if (!recording) continue;
        const path = join(dirname(file), recording.file);
        const text = await readFile(path, 'utf8').catch((error: Error) => {
          throw new ScenarioError(`${path}: cannot be read: ${whyNotRead(error)}`);
        });
        const { side, setPoint, startDegrees, joint: name } = planned;
        played.push({
          startUs: Math.round(planned.startsAtS * 1e6),
          pass: { joint: name, side, pass: setPoint.name, startDegrees },
          recorded: parseSamples(text, path),
        });
      }
      return new RecordedLessonRig(settings, played, scenario.schedule.announce_ahead_s, frameMs);
    }),
  );
}

/** Plays what a rig once reported, then for 4 s that nothing flows. Beyond that nothing is known, and nothing is sent. */
export class RecordedLessonRig implements LessonRig {
  readonly settings: RigSettings;
  readonly channels: readonly Channel[];
  readonly samplePeriodUs: number;
  readonly source: FrameSource<DeviceFrame>;
  readonly inject = null;
  private readonly played: readonly PlayedPass[];
  private readonly aheadUs: number;
  private readonly frameUs: number;
  private nowUs = 0;
  private at = 0;
  private sample = 0;
  private startedUs = 0;
  private announced = false;
  private alongMm = 0;
  private firstDistanceMm: number | null = null;
  private burning = false;
  private restUntilUs = 0;
  private events: LessonRigEvent[] = [];

  constructor(settings: RigSettings, played: readonly PlayedPass[], announceAheadS: number, frameMs: number) {
    this.settings = settings;
    this.played = played;
    this.aheadUs = announceAheadS * 1e6;
    this.frameUs = frameMs * 1000;
    const all = new Set(played.flatMap(({ recorded }) => recorded.channels));
    this.channels = CHANNEL_NAMES.filter(name => all.has(name));
    const lengths = played.flatMap(({ recorded }) => recorded.samples.map(({ lengthUs }) => lengthUs));
    this.samplePeriodUs = lengths.sort((a, b) => a - b)[lengths.length >> 1] ?? frameMs * 1000;
    const rig = this;
    this.source = {
      get ended() {
        return rig.at >= played.length;
      },
      get nextEndUs() {
        return rig.nextEndUs();
      },
      nextFrame: () => rig.nextFrame(),
    };
  }

  get place(): RigPlace | null {
    const now = this.played[this.at];
    if (!now || this.sample === 0) return null;
    return { joint: now.pass.joint, pass: now.pass.pass, alongMm: this.alongMm };
  }

  get arc(): boolean {
    return this.burning;
  }

  drainEvents(): LessonRigEvent[] {
    const { events } = this;
    this.events = [];
    return events;
  }

  moment(): { phase: null; lateFor: null } {
    return { phase: null, lateFor: null };
  }

  breakOff(): void {
    if (this.place !== null) this.rest();
    this.at = this.played.length;
    this.sample = 0;
  }

  /** A recording begins on time, or when the one before has ended. */
  private beginUs(played: PlayedPass): number {
    return this.sample === 0 ? Math.max(played.startUs, this.nowUs) : this.startedUs;
  }
  private nextEndUs(): number {
    const played = this.played[this.at];
    const begins = played && (this.sample > 0 || this.nowUs + this.frameUs > played.startUs);
    if (!begins) return this.nowUs + this.frameUs;
    const { tUs, lengthUs } = played.recorded.samples[this.sample]!;
    return this.beginUs(played) + tUs + lengthUs;
  }

  private nextFrame(): DeviceFrame {
    const played = this.played[this.at];
    if (played && !this.announced && this.nowUs >= played.startUs - this.aheadUs) {
      this.announced = true;
      this.events.push({ event: 'passAhead', pass: played.pass });
    }
    if (!played || (this.sample === 0 && this.nowUs + this.frameUs <= played.startUs)) {
      const startUs = this.nowUs;
      this.nowUs += this.frameUs;
      const resting = startUs < this.restUntilUs;
      return { startUs, lengthUs: this.frameUs, reported: resting ? this.nothing() : {}, silent: !resting };
    }
    return this.play(played);
  }

  private play(played: PlayedPass): DeviceFrame {
    const { channels, samples } = played.recorded;
    if (this.sample === 0) {
      this.startedUs = this.beginUs(played);
      this.alongMm = 0;
      this.firstDistanceMm = null;
    }
    const { tUs, lengthUs, values } = samples[this.sample]!;
    const reported: { [K in Channel]?: number } = {};
    for (const [i, channel] of channels.entries()) {
      const value = values[i];
      if (value !== null && value !== undefined) reported[channel] = value;
    }
    const startUs = this.startedUs + tUs;
    this.nowUs = startUs + lengthUs;
    this.burning = (reported.weldingCurrent ?? 0) > ARC_A;
    this.travel(reported, lengthUs);
    this.sample++;
    if (this.sample === samples.length) this.finish(played);
    return { startUs, lengthUs, reported, silent: false };
  }

  private travel(reported: { readonly [K in Channel]?: number }, lengthUs: number): void {
    const { outsideDiameterMm, referenceRadiusMm } = this.settings;
    const toWeld = outsideDiameterMm / 2 / referenceRadiusMm;
    const { travelDistance, travelSpeed } = reported;
    if (travelDistance !== undefined) {
      this.firstDistanceMm ??= travelDistance;
      this.alongMm = (travelDistance - this.firstDistanceMm) * toWeld;
    } else this.alongMm += ((travelSpeed ?? 0) * toWeld * lengthUs) / 1e6;
  }

  private rest(): void {
    this.burning = false;
    this.restUntilUs = this.nowUs + REST_US;
  }

  private nothing(): { readonly [K in Channel]?: number } {
    return Object.fromEntries(FLOWS.filter(name => this.channels.includes(name)).map(name => [name, 0]));
  }

  private finish(played: PlayedPass): void {
    this.rest();
    this.at++;
    this.sample = 0;
    this.announced = false;
    this.events.push({ event: 'passDone', pass: played.pass, truth: null });
  }
}
