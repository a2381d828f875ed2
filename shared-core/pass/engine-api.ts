import type { DriftBook } from '../drift/baseline-book.ts';
import type { Side } from '../messages/common.ts';
import type { DriftBaseline, Drifting, DriftSettings } from '../messages/drift.ts';
import type { EVENT_TYPES, RigEvent } from '../messages/event.ts';
import type { OutOfRange, PassMismatch, RunningPass } from '../messages/live.ts';
import type { Deviation, Pass } from '../messages/pass.ts';
import type { Procedure } from '../procedure/procedure.ts';
import type { SampleChunk } from '../sample/chunk.ts';
import type { WeldGeometry } from './quantities.ts';
import type { WeldWindow } from './weld-windows.ts';

/** Thresholds of the computation; the defaults are those of docs/engine.md. All can be set per rig. */
export interface EngineSettings {
  /** Sample period announced by the source, or the median of a file, s; null until known. */
  readonly samplePeriodS: number | null;
  readonly gapPeriods: number;
  readonly gapMinS: number;
  /** Null switches held-value detection off (constant test signals). */
  readonly heldAfterS: number | null;
  readonly heldMinRateHz: number;
  readonly arcStartA: number;
  readonly arcStartS: number;
  readonly arcStopA: number;
  readonly arcStopS: number;
  /** Unassigned arcs closer than this are one pass; a gap in an arc longer than this ends the pass, s. */
  readonly passJoinS: number;
  readonly standingTravelMmS: number;
  readonly windowLengthMm: number;
  readonly liveMeanS: number;
  readonly onDelayS: number;
  readonly offDelayS: number;
  /** Radius at which travel is reported, mm; null: reported travel is taken as travel at the weld, and said so. */
  readonly referenceRadiusMm: number | null;
  /** Standard uncertainty (k = 1) of where a side's zero lies, mm. */
  readonly positionUncertaintyMm: number;
  /** Standard relative uncertainties (k = 1), 0.01 = 1 %; null: unknown, nothing is called marginal. */
  readonly uncertainty: {
    readonly current: number | null;
    readonly voltage: number | null;
    readonly wireFeed: number | null;
    readonly travel: number | null;
  };
}

/** What the rig is welding; null work means nothing assigned. */
export interface EngineAssignment {
  readonly id: string;
  readonly joint: string;
  readonly side: Side;
  readonly pass: string;
  readonly outsideDiameterMm: number;
  readonly startDegrees: number;
  readonly procedureId: string;
  readonly procedureRevision: number;
  /** Null until the edge has received this revision: recorded all the same, not judged. */
  readonly procedure: Procedure | null;
  /** Why changes along the weld are not to be judged, such as "no valid verification"; the engine cannot know. */
  readonly driftNotJudged?: string | null;
}

/** What the installer said about the rig's sensors; it weighs in what a change looks like. */
export interface RigFacts {
  readonly feedReadAt: 'motor' | 'wire' | null;
  readonly voltageTapPoint: string | null;
}

/** Baselines as a record of a pass carries them: it is judged by exactly these again. */
export interface RecordedBaselines {
  readonly baselines: readonly DriftBaseline[];
  readonly passEndMm: number | null;
}

/** What the engine has to say, as data: the shell stamps ids and times and makes it durable. */
export type EngineEffect =
  | {
      readonly kind: 'event';
      readonly type: (typeof EVENT_TYPES)[number];
      readonly tUs: number;
      readonly passIndex: number | null;
      readonly text: string;
      readonly data: RigEvent['data'];
    }
  | {
      readonly kind: 'pass';
      readonly state: 'open' | 'closed';
      readonly startUs: number;
      readonly endUs: number;
      readonly pass: Pass;
      readonly deviations: readonly Deviation[];
      readonly assignment: EngineAssignment | null;
      /** Windows of weld so far, for a review; the record has what follows from them. */
      readonly windows: readonly WeldWindow[];
      readonly geometry: WeldGeometry;
    };

/** Where an earlier engine of the same stream left off, so that pass indices go on and open work is continued. */
export interface EngineResume {
  readonly lastPassIndex: number;
  /** The first pass of the work that was welded last, and where on the joint that work ended. */
  readonly openPass: {
    readonly index: number;
    readonly assignmentId: string;
    /** Along the side at the weld, mm; null where travel was unknown. */
    readonly endPositionMm: number | null;
    /** Travel when the recording ended in the arc, mm/s; 0 where the arc had stopped. */
    readonly travelMmPerS: number;
    readonly endUs: number;
  } | null;
}

/** The engine's part of a live message. Means are over the last `liveMeanS` of observed data. */
export interface EngineLive {
  readonly tUs: number;
  readonly arc: 'off' | 'on' | 'noData';
  readonly values: {
    readonly weldingCurrent: number | null;
    readonly arcVoltage: number | null;
    readonly wireFeedSpeed: number | null;
    readonly travelSpeed: number | null;
    readonly power: number | null;
    readonly gasFlow: number | null;
    readonly temperature: number | null;
    readonly oscillationWidth: number | null;
    readonly oscillationFrequency: number | null;
    readonly program: number | null;
  };
  readonly position: {
    readonly circumferentialMm: number;
    readonly clock: number;
    readonly alongMm: number;
    readonly uncertaintyMm: number;
  } | null;
  readonly pass: RunningPass | null;
  readonly outOfRange: readonly OutOfRange[];
  /** Another pass of the procedure looks likelier than the assigned one, while the arc burns. */
  readonly passMismatch: PassMismatch | null;
  /** Changes along the weld that hold now; trims are told and not shown. */
  readonly drifting: readonly Drifting[];
}

/**
 * The pass engine: samples in, effects out; the same live, in replay and in tests.
 * No clock and no I/O: time is the samples' own, and `silence` tells it that none are coming.
 */
export interface PassEngine {
  /** Samples in strictly increasing record time, after those of every earlier call. */
  push(chunk: SampleChunk): void;
  /** Nothing has arrived and now it is `tUs`: long silences close what they must close. */
  silence(tUs: number): void;
  /** From the next sample on this is what the rig welds; null: nothing assigned. Closes an open pass of other work. */
  assign(assignment: EngineAssignment | null): void;
  /** A person closes the open pass, if any. */
  closePass(): void;
  /** The recording ends here. */
  finish(): void;
  /** Effects since the last call, in order. */
  drain(): EngineEffect[];
  live(): EngineLive;
  /** What is open is forgotten, and told by nobody: an earlier engine's work goes on from here. */
  resume(from: EngineResume): void;
  /** The source has announced its sample period. */
  setSamplePeriod(samplePeriodS: number): void;
  /** How changes along the weld are called, from the next pass on: one that is open keeps what it began with. */
  setDriftSettings(settings: DriftSettings): void;
  /** Those of the open pass, else those of the next. */
  readonly driftSettings: DriftSettings;
  /** What the good passes so far taught. */
  readonly driftBook: DriftBook;
}
