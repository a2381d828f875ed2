/** An invented joint under review: two passes of side B, a deviation, an indication with its finding. */
import type { JointReview, ReviewPass } from '#core/messages/api-review';
import { START_MS, testDeviation, testPass } from './test-records.ts';

const utc = (ms: number): string => new Date(ms).toISOString();

export function reviewPass(index: number, pass: string, side: 'A' | 'B', parts: Partial<ReviewPass> = {}) {
  const plain = testPass(index, { joint: 'J-0042', side });
  const deviations = parts.message?.deviations ?? [];
  const message = {
    ...plain,
    deviations,
    pass: {
      ...plain.pass,
      procedurePass: pass,
      startPositionMm: 0,
      endPositionMm: 950,
      runOutLengthMm: 950,
      verdicts: [
        {
          quantity: 'weldingCurrent',
          basis: 'window' as const,
          unit: 'A',
          min: 190,
          nominal: 235,
          max: 260,
          value: 236,
          expandedUncertainty: 7,
          state: 'in' as const,
          outLengthMm: 0,
          longestRunMm: 0,
          reason: null,
        },
      ],
    },
  };
  const made: ReviewPass = {
    message,
    work: { joint: 'J-0042', side, pass },
    move: null,
    judgements: [
      {
        basis: 'recorded',
        entryId: null,
        procedureId: 'example-610',
        procedureRevision: 1,
        pass,
        verdicts: message.pass.verdicts,
        deviations,
        at: null,
        software: null,
        notes: [],
      },
    ],
    corrected: [],
    repairOf: null,
    layer: pass === 'root' ? 0 : 1,
    startDegrees: 0,
    windows: Array.from({ length: 38 }, (_, i) => ({
      fromMm: i * 25,
      toMm: (i + 1) * 25,
      fromS: i * 3.3,
      toS: (i + 1) * 3.3,
      fromClock: ((i * 25) / (Math.PI * 610)) * 12,
      toClock: (((i + 1) * 25) / (Math.PI * 610)) * 12,
      values: {
        weldingCurrent: i === 5 ? 272 : 232 + ((i * 7) % 9),
        arcVoltage: 24 + ((i * 3) % 5) / 10,
        wireFeedSpeed: 171,
        travelSpeed: 7.5,
        arcEnergy: 0.755,
        heatInput: 0.604,
        gasFlow: null,
      },
      out: i === 5 ? ['weldingCurrent'] : [],
    })),
    windowsNote: null,
    depth: null,
    events: [
      { id: `e${index}`, type: 'arcStart', atUtc: message.startUtc, tS: 0, alongMm: 0, text: 'Arc on.' },
    ],
    quality: {
      samples: 12_000,
      gaps: [],
      unobservedS: 0,
      missingChannels: ['gasFlow'],
      voltageTapPoint: 'contact tip',
      referenceRadiusMm: 325,
      clock: { state: 'synced', offsetMs: 12 },
      pruned: false,
    },
    ...parts,
  };
  return { ...made, message: { ...made.message, ...message } };
}

export function testReview(parts: Partial<JointReview> = {}): JointReview {
  const fill = reviewPass(2, 'fill 1', 'B', {
    message: { deviations: [testDeviation(125)] } as ReviewPass['message'],
  });
  return {
    schema: 'girthlog.joint-review/1',
    joint: 'J-0042',
    origin: 'real',
    state: {
      joint: 'J-0042',
      origin: 'real',
      opened: true,
      onHold: null,
      disposition: null,
      particulars: { station: 'KP 12+400' } as JointReview['state']['particulars'],
      wireLot: 'W-7',
      gasLot: null,
      polarity: 'electrodePositive',
      crew: null,
      procedure: { id: 'example-610', revision: 1, state: 'approved' },
      passes: [],
      movedOut: [],
      complete: false,
      nextPass: 'cap',
      findings: [],
      entries: [],
    },
    procedure: {
      id: 'example-610',
      revision: 1,
      title: 'Example, 610 × 15.9 mm',
      exampleOnly: true,
      state: 'approved',
      code: null,
      passes: ['root', 'fill 1', 'cap'],
    },
    outsideDiameterMm: 610,
    wallThicknessMm: 15.9,
    passes: [reviewPass(1, 'root', 'B'), fill, reviewPass(3, 'root', 'A')],
    indications: [
      {
        scanEntryId: 's-1',
        reference: 'UT-7',
        technique: 'automated ultrasonic testing',
        takenAt: utc(START_MS + 86_400_000),
        frame: { zeroDegrees: 0, sense: 'clockwise', referenceDiameterMm: null, zeroUncertaintyMm: 20 },
        label: '3',
        type: 'lack of fusion',
        position: 140,
        unit: 'mm',
        lengthMm: 15,
        depthMm: 4,
        heightMm: 2,
        place: {
          fromDegrees: 26.3,
          spanDegrees: 2.8,
          toDegrees: 29.1,
          fromClock: 0.877,
          toClock: 0.97,
          fromMm: 140,
          toMm: 155,
          uncertaintyMm: 20,
        },
        covered: [
          {
            passId: fill.message.passId,
            windows: [4, 5, 6, 7],
            stops: [],
            events: [],
            startsHere: false,
            endsHere: false,
            atDepth: true,
          },
        ],
        findings: [],
      },
    ],
    scans: [],
    findings: [],
    annotations: [],
    dispositions: [],
    verifications: [{ site: 'spread-1', rig: 'rig-a', atUtc: utc(START_MS), ready: true, findings: [] }],
    sealedAt: utc(START_MS + 90_000_000),
    ...parts,
  };
}
