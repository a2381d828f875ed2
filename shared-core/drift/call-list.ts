/** The calls of one pass in the order in which they were made, and what is known where one is made. */
import type { Side } from '../messages/common.ts';
import type { DriftSettings } from '../messages/drift.ts';
import type { ResolvedLimit } from '../procedure/limits.ts';
import { callText } from './call-text.ts';
import { QUANTITY_UNITS } from './drift-values.ts';
import type { ClockAt, OpenCall } from './open-call.ts';

/** What is the same all along a pass. */
export interface CallPass {
  readonly settings: DriftSettings;
  readonly limits: readonly ResolvedLimit[];
  readonly windowLengthMm: number;
  /** Where the pass ends, mm along the side; null: not known. */
  readonly passEndMm: number | null;
  readonly passType: string | null;
  readonly side: Side | null;
  readonly wireDiameterMm: number | null;
  readonly nominalCtwdMm: number | null;
  readonly feedReadAt: 'motor' | 'wire' | null;
  readonly voltageTapPoint: string | null;
}

/** How things stand where it is judged. */
export interface CallContext {
  readonly tUs: number;
  readonly alongMm: number;
  readonly clockAt: ClockAt;
  readonly uncertaintyMm: (alongMm: number) => number;
  /** Drop-outs that the arc survived from there on. */
  readonly extinctionsSince: (alongMm: number) => number;
  readonly passMismatch: { readonly likelier: readonly string[] } | null;
}

export interface Place {
  readonly fromMm: number;
  readonly fromUs: number;
}

export interface DriftChange {
  readonly kind: 'began' | 'ended' | 'trim';
  readonly call: OpenCall;
}

export type NewCall = Pick<
  OpenCall,
  'rule' | 'quantity' | 'against' | 'baseline' | 'direction' | 'shape' | 'change' | 'changeSigma'
> &
  Partial<Pick<OpenCall, 'crossing' | 'contributions' | 'depositChangePercent' | 'looksLike'>> & {
    readonly from: Place;
  };

export class CallList {
  readonly all: OpenCall[] = [];

  /** Calls that hold now; a trim is told once and holds silently. */
  get holding(): OpenCall[] {
    return this.all.filter(call => call.toMm === null && call.rule !== 'trim');
  }

  add({ from, ...made }: NewCall, context: CallContext): OpenCall {
    const call: OpenCall = {
      crossing: null,
      contributions: [],
      depositChangePercent: null,
      looksLike: [],
      ...made,
      number: this.all.length + 1,
      unit: made.quantity === null ? null : QUANTITY_UNITS[made.quantity],
      fromUs: from.fromUs,
      fromMm: from.fromMm,
      calledUs: context.tUs,
      calledMm: context.alongMm,
      toUs: null,
      toMm: null,
      now: made.change,
      nowSigma: made.changeSigma,
      text: '',
    };
    call.text = callText({ ...call, fromClock: context.clockAt(call.fromMm), crossing: crossingText(call) });
    this.all.push(call);
    return call;
  }

  end(call: OpenCall, at: Place): DriftChange {
    call.toMm = at.fromMm;
    call.toUs = at.fromUs;
    return { kind: 'ended', call };
  }
}

function crossingText({ crossing }: OpenCall) {
  return crossing && { ...crossing, atS: 0 };
}
