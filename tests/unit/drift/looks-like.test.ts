/**
 * The fault catalogue in reverse. The changes are the catalogue's, for 1.0 mm wire at 10.27 m/min, 236 A, 12 mm tip distance on a
 * constant-voltage source: stick-out −4.4 % at +2 mm, −8.3 % at +4, −11.6 % at +6; slip −7.3 % per 10 % read at the motor; a bad earth
 * −1.25 V per 5 mΩ at 250 A; wire size about +44 % and −31 % (1.0 and 1.2 mm). They are computed from the burn-off line with the
 * coefficients of the pulsed-arc literature for 1.2 mm (α 0.30, β 5e-5 at 15 mm and 250 A: 121.875 mm/s; from memory, order of
 * magnitude) and Ohm's law; the catalogue of signs itself is common practice, no source.
 */
import { describe, expect, test } from 'vitest';
import type { ChangeEvidence, ChannelChange } from '#core/drift/change-evidence';
import { LOOKS_LIKE_CAUTION, looksLike } from '#core/drift/looks-like';
import { CAUSES } from '#core/drift/looks-like-parts';
import { type DriftChannel, looksLikeSchema } from '#core/messages/drift';
import { burnOffFeed, burnOffOf } from '#core/metal/burn-off';

/** Good windows of the fill pass: mean and standard deviation. */
const GOOD: Readonly<Record<DriftChannel, readonly [number, number]>> = {
  weldingCurrent: [236, 2.4],
  arcVoltage: [24, 0.12],
  wireFeedSpeed: [171.2, 1],
  travelSpeed: [7.5, 0.06],
  gasFlow: [22, 0.3],
  currentSpread: [3.2, 0.3],
  voltageSpread: [0.2, 0.015],
};

type Now = { readonly [K in DriftChannel]?: number | null };

/** What is seen when the channels stand at `now`; null: not known; not named: as on good welds. */
function seen(now: Now, more: Partial<ChangeEvidence> = {}): ChangeEvidence {
  const channels: { [K in DriftChannel]?: ChannelChange } = {};
  for (const [name, [baseline, sigma]] of Object.entries(GOOD) as [DriftChannel, [number, number]][]) {
    const value = now[name] === undefined ? baseline : now[name];
    if (value === null) continue;
    channels[name] = { baseline, now: value, deviations: (value - baseline) / sigma, sigma };
  }
  return {
    channels,
    shape: 'step',
    lengthMm: 120,
    side: 'B',
    feedReadAt: 'motor',
    voltageTapPoint: 'contact tip to pipe',
    wireDiameterMm: 1,
    nominalCtwdMm: 12,
    extinctions: 0,
    passMismatch: null,
    sinceTipChangeMm: null,
    onsetMm: 300,
    ...more,
  };
}

const causes = (evidence: ChangeEvidence): string[] => looksLike(evidence).map(({ cause }) => cause);
const first = (evidence: ChangeEvidence): string => looksLike(evidence)[0]?.text ?? '';
const amps = (percent: number): number => 236 * (1 + percent / 100);
const ramp = { shape: 'ramp', lengthMm: 180 } as const;

test('the literature example of the burn-off line: 1.2 mm, 250 A, 15 mm melts 121.875 mm/s', () => {
  // Typical coefficients of the pulsed-MIG literature after Lesnewich 1958, from memory.
  expect(burnOffFeed(burnOffOf(1.2), 250, 15)).toBeCloseTo(121.875, 9);
});

describe('stick-out', () => {
  test.each([
    [-4.4, 2],
    [-8.3, 4],
    [-11.6, 6],
  ])('current %d %% at constant feed, growing: about %d mm longer', (percent, mm) => {
    const evidence = seen(
      { weldingCurrent: amps(percent), arcVoltage: 24 - 0.03 * (amps(percent) - 236) },
      ramp,
    );
    expect(causes(evidence).slice(0, 2)).toEqual([CAUSES.stickOutLonger, CAUSES.slipAtMotor]);
    const told = Number(/about ([\d.]+) mm longer/.exec(first(evidence))?.[1]);
    expect(Math.abs(told - mm)).toBeLessThanOrEqual(0.1);
    expect(first(evidence)).toContain('growing for 180 mm');
    expect(first(evidence)).toContain(
      'Feed is read at the motor, so wire slip at the rolls cannot be told apart.',
    );
  });

  test('the size does not hang on the rig’s own current: 10 % more amperes throughout give the same length', () => {
    const channels = seen({ weldingCurrent: amps(-8.3), arcVoltage: 24.6 }).channels;
    const { baseline, now, deviations } = channels.weldingCurrent!;
    const weldingCurrent = { baseline: 1.1 * baseline, now: 1.1 * now, deviations, sigma: 2.6 };
    const evidence = { ...seen({}, ramp), channels: { ...channels, weldingCurrent } };
    expect(looksLike(evidence)[0]?.text).toContain('about 4.0 mm longer');
  });

  test('shorter: more current, less voltage', () => {
    const evidence = seen({ weldingCurrent: amps(4.7), arcVoltage: 23.7 });
    expect(causes(evidence)[0]).toBe(CAUSES.stickOutShorter);
    expect(first(evidence)).toContain('about 1.8 mm shorter');
  });

  test('without tip distance no length is made up', () => {
    const [likeliest] = looksLike(
      seen({ weldingCurrent: amps(-8.3), arcVoltage: 24.6 }, { ...ramp, nominalCtwdMm: null }),
    );
    expect(likeliest?.cause).toBe(CAUSES.stickOutLonger);
    expect(likeliest?.text).not.toMatch(/mm longer/);
    expect(likeliest?.text).toContain('cannot be said');
  });
});

describe('feed', () => {
  test('slip of 10 % read at the motor: −7.3 % of current, and the two that cannot be told apart', () => {
    const [, slip] = looksLike(seen({ weldingCurrent: amps(-7.3), arcVoltage: 24.5 }, ramp));
    expect(slip?.cause).toBe(CAUSES.slipAtMotor);
    const told = Number(/slipping ([\d.]+) %/.exec(slip?.text ?? '')?.[1]);
    expect(Math.abs(told - 10)).toBeLessThanOrEqual(0.5);
  });

  test('slip read on the wire: feed and current fall together, and stick-out is not named', () => {
    const now = { weldingCurrent: amps(-7.3), wireFeedSpeed: 0.9 * 171.2, arcVoltage: 24.5 };
    const named = causes(seen(now, { ...ramp, feedReadAt: 'wire' }));
    expect(named[0]).toBe(CAUSES.slipOnWire);
    expect(named).toContain(CAUSES.feedSet);
    expect(named).not.toContain(CAUSES.stickOutLonger);
    expect(named).not.toContain(CAUSES.slipAtMotor);
  });

  test('the same with the feed read at the motor: the rolls themselves turn slower', () => {
    const now = { weldingCurrent: amps(-7.3), wireFeedSpeed: 0.9 * 171.2, arcVoltage: 24.5 };
    expect(causes(seen(now))[0]).toBe(CAUSES.feedSet);
    expect(causes(seen(now))).not.toContain(CAUSES.slipOnWire);
  });

  test('a feed that reads low while the current stays is a sensor', () => {
    const [likeliest] = looksLike(seen({ wireFeedSpeed: 0.94 * 171.2 }));
    expect(likeliest?.cause).toBe(CAUSES.sensor);
    expect(likeliest?.speaksFor.join()).toContain('the current did not follow the feed');
  });
});

describe('voltage, gas, travel', () => {
  test('−1.25 V at the arc, current as before: 5 mΩ at 250 A, or the source', () => {
    const evidence = seen({ arcVoltage: 22.75 }, ramp);
    expect(causes(evidence).slice(0, 2).sort()).toEqual([CAUSES.badEarth, CAUSES.voltageSet].sort());
    const earth = looksLike(evidence).find(({ cause }) => cause === CAUSES.badEarth);
    const told = Number(/about ([\d.]+) mΩ/.exec(earth?.text ?? '')?.[1]);
    // 1.25 V at 236 A instead of 250 A.
    expect(told).toBeCloseTo((5 * 250) / 236, 1);
    // What cannot be told apart says so.
    for (const { cause, text } of looksLike(evidence).slice(0, 2)) {
      expect(text, cause).toContain('would look the same');
    }
  });

  test('measured at the source’s terminals an earth has no sign: it is not named', () => {
    expect(causes(seen({ arcVoltage: 22.75 }, { voltageTapPoint: 'source terminals' }))).not.toContain(
      CAUSES.badEarth,
    );
  });

  test('restless with the flow down: gas; with the flow as it was: a draught', () => {
    const restless = { currentSpread: 6, voltageSpread: 0.35 };
    const lost = looksLike(seen({ ...restless, gasFlow: 9 }));
    expect(lost[0]?.cause).toBe(CAUSES.gasOrDraught);
    expect(lost[0]?.text).toContain('Gas flow 59 % low');
    const draught = looksLike(seen(restless));
    expect(draught[0]?.cause).toBe(CAUSES.gasOrDraught);
    expect(draught[0]?.text).toContain('draught');
    expect(looksLike(seen({ ...restless, gasFlow: null }))[0]?.text).toContain('Gas flow is not measured.');
  });

  test('travel alone', () => {
    const [likeliest] = looksLike(seen({ travelSpeed: 8.55 }));
    expect(likeliest?.cause).toBe(CAUSES.travelSet);
    expect(likeliest?.text).toContain('14 % fast');
    expect(likeliest?.text).toContain('Slip that the encoder does not see has no sign here');
  });
});

describe('tip, wire, pass', () => {
  test('current down 5 % and restless: the contact tip before stick-out', () => {
    const now = { weldingCurrent: amps(-5), arcVoltage: 24.35, currentSpread: 5.2, voltageSpread: 0.26 };
    const [likeliest] = looksLike(seen(now, { ...ramp, extinctions: 3, sinceTipChangeMm: 41_000 }));
    expect(likeliest?.cause).toBe(CAUSES.wornTip);
    expect(likeliest?.speaksFor).toContain('41.0 m welded since the tip change');
  });

  test.each([
    [1, 44, '1.2 mm wire instead of 1.0 mm'],
    [1.2, -31, '1.0 mm wire instead of 1.2 mm'],
  ])('%d mm wire expected, current %d %% off from the start: %s', (wireDiameterMm, percent, words) => {
    const now = { weldingCurrent: amps(percent), arcVoltage: 24 - 0.03 * (amps(percent) - 236) };
    // The feed at which 236 A flow with this wire.
    const feed = burnOffFeed(burnOffOf(wireDiameterMm), 236, 12);
    const evidence = seen(now, { wireDiameterMm, onsetMm: 0 });
    const wireFeedSpeed = { baseline: feed, now: feed, deviations: 0, sigma: feed / 170 };
    const [likeliest] = looksLike({ ...evidence, channels: { ...evidence.channels, wireFeedSpeed } });
    expect(likeliest?.cause).toBe(CAUSES.wireSize);
    expect(likeliest?.text).toContain(words);
    // The size that the catalogue gives, within two points.
    expect(
      Math.abs(Number(/would give (\d+) %/.exec(likeliest?.text ?? '')?.[1]) - Math.abs(percent)),
    ).toBeLessThan(2);
  });

  test('another pass: told by the comparison, or feed, travel and voltage at once', () => {
    const hot = { weldingCurrent: 255, arcVoltage: 24.1, wireFeedSpeed: 191, travelSpeed: 17.5 };
    const named = looksLike(seen(hot, { passMismatch: { likelier: ['hot'] }, onsetMm: 0 }));
    expect(named[0]?.cause).toBe(CAUSES.wrongPass);
    expect(named[0]?.text).toContain('nearer to hot');
    expect(causes(seen(hot, { onsetMm: 0 }))[0]).toBe(CAUSES.wrongPass);
    expect(causes(seen(hot, ramp))).not.toContain(CAUSES.wrongPass);
  });
});

describe('what it never does', () => {
  const all: readonly [string, ChangeEvidence][] = [
    ['nothing changed', seen({})],
    [
      'everything changed',
      seen({
        weldingCurrent: 300,
        arcVoltage: 20,
        wireFeedSpeed: 120,
        travelSpeed: 12,
        gasFlow: 3,
        currentSpread: 20,
        voltageSpread: 2,
      }),
    ],
    ['nothing known', { ...seen({}), channels: {} }],
    [
      'current alone known',
      seen({
        weldingCurrent: 200,
        arcVoltage: null,
        wireFeedSpeed: null,
        travelSpeed: null,
        gasFlow: null,
        currentSpread: null,
        voltageSpread: null,
      }),
    ],
    ['stick-out', seen({ weldingCurrent: amps(-8.3) }, { ...ramp, feedReadAt: null, lengthMm: null })],
    [
      'many passes',
      seen(
        { wireFeedSpeed: 200 },
        { passMismatch: { likelier: Array.from({ length: 30 }, (_, i) => `filling pass number ${i}`) } },
      ),
    ],
  ];

  test.each(all)('%s: at most three, inside the schema, the same every time', (_name, evidence) => {
    const found = looksLike(evidence);
    expect(found.length).toBeLessThanOrEqual(3);
    for (const one of found) expect(looksLikeSchema.safeParse(one).success).toBe(true);
    expect(looksLike(evidence)).toEqual(found);
    for (const { text } of found) expect(text).not.toMatch(/defect|reject|unacceptable|faulty weld/i);
  });

  test('nothing changed or nothing known: nothing is claimed', () => {
    expect(looksLike(seen({}))).toEqual([]);
    expect(looksLike({ ...seen({}), channels: {} })).toEqual([]);
  });

  test('what is not known counts neither way and is named', () => {
    const now = { weldingCurrent: amps(-8.3), arcVoltage: 24.6 };
    const known = looksLike(seen(now, { feedReadAt: 'wire' }));
    const unknown = looksLike(seen({ ...now, gasFlow: null, travelSpeed: null }, { feedReadAt: 'wire' }));
    expect(unknown[0]?.text).toContain('Not known: travel, gas flow.');
    expect(known[0]?.text).not.toContain('Not known');
    expect(unknown[0]?.cause).toBe(known[0]?.cause);
    const told = (of: typeof known): string[] => [
      ...(of[0]?.speaksFor ?? []),
      ...(of[0]?.speaksAgainst ?? []),
    ];
    expect(told(unknown).join()).not.toMatch(/gas|travel/);
  });

  test('what has no electrical sign is never named', () => {
    const names = Object.values(CAUSES).join();
    expect(names).not.toMatch(/lot|temperature|preheat|overlap/);
  });

  test('every screen can say that it is no verdict', () => {
    expect(LOOKS_LIKE_CAUTION).toMatch(/no verdict/);
  });
});
