/** MAP.json of an exported samples.csv: with it and the procedure, replay finds the pass as it was recorded (docs/exports.md). */
import { CHANNELS, type Channel } from '#core/sample/channels';
import { uncertaintyOf } from '../api/rejudge.ts';
import { columnOf } from './column-names.ts';
import type { PassExport } from './pass-export.ts';

/** A map takes one of each pair: the engine reads the second where it is there. */
const PAIRS: Partial<Record<Channel, Channel>> = {
  travelDistance: 'travelSpeed',
  wireLength: 'wireFeedSpeed',
};

/** Null where the samples cannot be analysed again: none are stored, or no current or voltage. */
export function replayMap(pass: PassExport): object | null {
  const { message, samples, samplePeriodS, referenceRadiusMm } = pass;
  const present = samples?.channels ?? [];
  if (!samples || !present.includes('weldingCurrent') || !present.includes('arcVoltage')) return null;
  const mapped = present.filter(name => {
    const better = PAIRS[name];
    return better === undefined || !present.includes(better);
  });
  const assignment = assignmentOf(pass);
  const uncertainty = uncertaintyOf(message);
  return {
    header: true,
    delimiter: ',',
    time: { column: 't_s', unit: 's', recordStartUs: message.startUs },
    ...(samples.timed ? { sampleLength: { column: 'sample_length_s', unit: 's' } } : {}),
    ...(samplePeriodS === null ? {} : { samplePeriod: { constant: samplePeriodS, unit: 's' } }),
    ...Object.fromEntries(mapped.map(name => [name, { column: columnOf(name), unit: CHANNELS[name].unit }])),
    pass: { column: 'pass' },
    ...(referenceRadiusMm === null ? {} : { referenceRadiusMm }),
    ...(Object.values(uncertainty).some(one => one !== null) ? { uncertainty } : {}),
    ...(assignment ? { assignment } : {}),
  };
}

/** As it was recorded. A pass that continues another begins where that one ended, so the recording does too. */
function assignmentOf({ message, assigned }: PassExport): object | null {
  const { joint, side } = message;
  if (!assigned || joint === null || side === null) return null;
  const { pass, outsideDiameterMm, startDegrees } = assigned;
  const alongMm = message.pass.startPositionMm ?? 0;
  const turns = alongMm / (Math.PI * outsideDiameterMm);
  return { joint, side, pass, outsideDiameterMm, startDegrees: startDegrees + turns * 360 };
}
