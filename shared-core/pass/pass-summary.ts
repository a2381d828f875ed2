/** The pass object of a pass as it stands: what is shown, stored, judged and exported. Units in the names. */

import { SUM, type Sums } from '../arc/sums.ts';
import type { Reason } from '../messages/common.ts';
import type { Deviation, Pass } from '../messages/pass.ts';
import { unfitToTeach } from './drift-desk.ts';
import type { EngineSettings } from './engine-api.ts';
import { judgePass } from './judge.ts';
import type { OpenPass } from './open-pass.ts';
import { energyBasisOf, energyKjOf, KNOWN_ENOUGH, mean, quantityMeans, wholeIntegral } from './quantities.ts';

/** Steel, kg/mm³ (computations "Metal"). */
const STEEL_KG_PER_MM3 = 7.85e-6;

export interface PassContext {
  readonly settings: EngineSettings;
  readonly originUs: number;
  readonly gasKnown: boolean;
  readonly clockAt: (alongMm: number) => number | null;
}

/** Totals of a pass that the live view shows as they grow. */
export interface PassTotals {
  readonly arcTimeS: number;
  readonly runOutLengthMm: number | null;
  readonly energyBasis: 'instantaneous' | 'frameProduct';
  readonly arcEnergyKj: number;
  readonly arcEnergyKjMm: number | null;
  readonly heatInputKjMm: number | null;
  readonly standingArcS: number | null;
}

export function passTotals(pass: OpenPass): PassTotals {
  const arc = pass.arc.sums;
  const dropOut = pass.dropOut.sums;
  const { travelRatio, thermalEfficiency } = pass.work.geometry;
  const energyBasis = energyBasisOf(arc);
  const arcEnergyKj = energyKjOf(arc, energyBasis);
  const reportedMm = wholeIntegral(
    arc[SUM.travelMm]! + dropOut[SUM.travelMm]!,
    arc[SUM.travelKnownS]! + dropOut[SUM.travelKnownS]!,
    arc[SUM.observedS]! + dropOut[SUM.observedS]!,
  );
  const runOutLengthMm = reportedMm === null ? null : reportedMm * travelRatio;
  const arcEnergyKjMm = runOutLengthMm !== null && runOutLengthMm > 0 ? arcEnergyKj / runOutLengthMm : null;
  return {
    arcTimeS: arc[SUM.observedS]!,
    runOutLengthMm,
    energyBasis,
    arcEnergyKj,
    arcEnergyKjMm,
    heatInputKjMm: arcEnergyKjMm === null ? null : arcEnergyKjMm * thermalEfficiency,
    standingArcS: reportedMm === null ? null : pass.standing.sums[SUM.observedS]!,
  };
}

/** The pass and its deviations, judged against its work's limits; `endReasons` say why it ended as it did. */
export function summarisePass(
  pass: OpenPass,
  context: PassContext,
  endReasons: readonly Reason[],
  closed: boolean,
): { pass: Pass; deviations: Deviation[] } {
  const { work } = pass;
  const totals = passTotals(pass);
  const arc = pass.arc.sums;
  const dropOut = pass.dropOut.sums;
  const means = quantityMeans(arc, work.geometry);
  const wireMm = wholeIntegral(
    arc[SUM.wireMm]! + dropOut[SUM.wireMm]!,
    arc[SUM.wireKnownS]! + dropOut[SUM.wireKnownS]!,
    arc[SUM.observedS]! + dropOut[SUM.observedS]!,
  );
  const gasL = wholeIntegral(
    arc[SUM.gasL]! + dropOut[SUM.gasL]!,
    arc[SUM.gasKnownS]! + dropOut[SUM.gasKnownS]!,
    arc[SUM.observedS]! + dropOut[SUM.observedS]!,
  );
  const diameterMm = work.pass?.wire?.diameterMm ?? null;
  const toS = (us: number): number => (us - context.originUs) / 1e6;
  const positioned = totals.runOutLengthMm !== null;
  const energyMethodInvalid =
    work.procedure?.waveformControlled === true && totals.energyBasis === 'frameProduct';
  const judgement = judgePass({
    limits: work.limits,
    means: { ...means, arcEnergy: totals.arcEnergyKjMm, heatInput: totals.heatInputKjMm },
    windows: pass.windows.closed,
    spans: pass.spans,
    geometry: work.geometry,
    uncertainty: context.settings.uncertainty,
    energyMethodInvalid,
    startUs: pass.startUs,
    endUs: pass.endUs,
    startMm: positioned ? pass.startMm : null,
    endMm: positioned ? pass.endMm : null,
    clockAt: context.clockAt,
    originUs: context.originUs,
  });
  const reasons = [
    ...reasonsOf(pass, arc, totals, energyMethodInvalid),
    ...pass.match.reasons(work),
    ...endReasons,
  ];
  const elapsedS = (pass.endUs - pass.startUs) / 1e6;
  return {
    pass: {
      index: pass.index,
      procedurePass: work.pass?.name ?? null,
      startS: toS(pass.startUs),
      endS: toS(pass.endUs),
      arcTimeS: totals.arcTimeS,
      elapsedS,
      restarts: pass.restarts,
      stops: pass.stops.map(({ fromUs, toUs, positionMm }) => ({
        startS: toS(fromUs),
        endS: toS(toUs),
        positionMm,
      })),
      extinctions: pass.extinctions,
      unobservedS: pass.unobservedS,
      standingArcS: totals.standingArcS,
      standingArcKj: totals.standingArcS === null ? null : energyKjOf(pass.standing.sums, totals.energyBasis),
      meanCurrentA: means.weldingCurrent,
      meanVoltageV: means.arcVoltage,
      meanWireFeedMmS: means.wireFeedSpeed,
      meanTravelMmS: means.travelSpeed,
      runOutLengthMm: totals.runOutLengthMm,
      energyBasis: totals.energyBasis,
      arcEnergyKj: totals.arcEnergyKj,
      meanProductKj: meanProductKj(arc),
      arcEnergyKjMm: totals.arcEnergyKjMm,
      heatInputKjMm: totals.heatInputKjMm,
      thermalEfficiency: work.geometry.thermalEfficiency,
      wireUsedM: wireMm === null ? null : wireMm / 1000,
      wireUsedKg:
        wireMm === null || diameterMm === null
          ? null
          : wireMm * ((Math.PI * diameterMm ** 2) / 4) * STEEL_KG_PER_MM3,
      ...(arc[SUM.gasKnownS]! > 0 ? { gasUsedL: gasL } : {}),
      startPositionMm: positioned ? pass.startMm : null,
      endPositionMm: positioned ? pass.endMm : null,
      positionUncertaintyMm: positioned ? pass.positionUncertaintyMm : null,
      sequence: pass.startStop.sequence(context.gasKnown),
      continues: pass.continues,
      label: work.label,
      verdicts: judgement.verdicts,
      drift: pass.drift.record({
        originUs: context.originUs,
        clockAt: context.clockAt,
        unfit: unfitToTeach({ reasons }, judgement.deviations, closed),
        unobservedS: pass.unobservedS,
        elapsedS,
      }),
      reasons,
    },
    deviations: judgement.deviations,
  };
}

/** Mean current × mean voltage × arc time, kJ: what mean values alone would say. */
function meanProductKj(arc: Sums): number | null {
  const current = mean(arc[SUM.currentAs]!, arc[SUM.observedS]!);
  const voltage = mean(arc[SUM.voltageVs]!, arc[SUM.observedS]!);
  return current === null || voltage === null ? null : (current * voltage * arc[SUM.observedS]!) / 1000;
}

function reasonsOf(pass: OpenPass, arc: Sums, totals: PassTotals, energyMethodInvalid: boolean): Reason[] {
  const reasons: Reason[] = [];
  const say = (code: string, fields: string[], text: string): void => {
    reasons.push({ code, fields, text });
  };
  const { work } = pass;
  const lengthFields = ['runOutLengthMm', 'arcEnergyKjMm', 'heatInputKjMm'];
  if (work.pass === null) {
    if (work.assignment)
      say('noProcedure', ['procedurePass', 'verdicts'], 'the assigned procedure revision has not arrived');
    else
      say(
        'noAssignment',
        ['procedurePass', 'verdicts'],
        'nothing was assigned: the pass is recorded and not judged',
      );
  }
  describeChannel(say, 'Travel', arc[SUM.travelKnownS]!, arc[SUM.observedS]!, [
    ...lengthFields,
    'meanTravelMmS',
    'standingArcS',
    'standingArcKj',
    'startPositionMm',
    'endPositionMm',
    'positionUncertaintyMm',
  ]);
  describeChannel(say, 'WireFeed', arc[SUM.wireKnownS]!, arc[SUM.observedS]!, [
    'meanWireFeedMmS',
    'wireUsedM',
    'wireUsedKg',
  ]);
  if (arc[SUM.gasKnownS]! > 0) {
    describeChannel(say, 'GasFlow', arc[SUM.gasKnownS]!, arc[SUM.observedS]!, ['gasUsedL']);
  }
  if (totals.runOutLengthMm === 0) {
    say(
      'noRunOut',
      ['arcEnergyKjMm', 'heatInputKjMm'],
      'the carriage did not move: there is no length to divide by',
    );
  }
  if (totals.runOutLengthMm !== null && totals.runOutLengthMm < 0) {
    say(
      'travelBackwards',
      [...lengthFields, 'meanTravelMmS', 'standingArcS', 'standingArcKj'],
      'travel counts backwards (in a recording, map it with "scale": -1): there is no length to divide by',
    );
  }
  if (arc[SUM.wireKnownS]! > 0 && work.pass?.wire === undefined) {
    say('noWireDiameter', ['wireUsedKg'], 'no wire diameter is given: length is known, mass is not');
  }
  if (arc[SUM.powerKnownS]! > 0 && totals.energyBasis === 'frameProduct') {
    const missing = (arc[SUM.observedS]! - arc[SUM.powerKnownS]!).toFixed(1);
    say(
      'powerIncomplete',
      ['energyBasis', 'arcEnergyKj'],
      `power was missing for ${missing} s: energy is from current × voltage`,
    );
  }
  if (energyMethodInvalid) {
    say(
      'energyMethod',
      ['arcEnergyKj', 'arcEnergyKjMm', 'heatInputKjMm'],
      'the procedure is waveform controlled and the source gives mean values only: energy is not judged',
    );
  }
  const missingS = arc[SUM.missingS]! + pass.dropOut.sums[SUM.missingS]!;
  if (missingS > 0) {
    say(
      'framesMissing',
      ['arcTimeS', 'arcEnergyKj', ...lengthFields],
      `${missingS.toFixed(3)} s inside the arc came in no frame and is not integrated`,
    );
  }
  if (pass.unobservedS > 0) {
    say(
      'unobserved',
      ['arcTimeS', 'arcEnergyKj', ...lengthFields],
      `${pass.unobservedS.toFixed(3)} s between start and end were not observed`,
    );
  }
  if (pass.continues !== null)
    say('continuation', ['index'], `continues pass ${pass.continues}, which had been closed`);
  return reasons;
}

const CHANNEL_WORDS = { Travel: 'travel', WireFeed: 'wire feed', GasFlow: 'gas flow' } as const;

function describeChannel(
  say: (code: string, fields: string[], text: string) => void,
  channel: keyof typeof CHANNEL_WORDS,
  knownS: number,
  observedS: number,
  fields: string[],
): void {
  const name = CHANNEL_WORDS[channel];
  if (knownS <= 0) say(`no${channel}`, fields, `the source gives no ${name}`);
  else if (knownS < observedS * (1 - 1e-9)) {
    const missing = (observedS - knownS).toFixed(2);
    const kept = knownS >= observedS * KNOWN_ENOUGH ? 'left out of' : 'too much for';
    say(
      `partly${channel}`,
      fields,
      `${name} was unknown for ${missing} s of ${observedS.toFixed(1)} s: ${kept} its totals`,
    );
  }
}
