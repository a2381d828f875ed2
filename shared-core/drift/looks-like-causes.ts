/** The fault catalogue: what each cause would do to the signs, with its size fitted from the sign that shows it best. */

import type { ChangeEvidence } from './change-evidence.ts';
import { meltingCauses } from './looks-like-melting.ts';
import {
  any,
  CAUSES,
  fits,
  howLong,
  moves,
  shapeRemark,
  shows,
  startRemark,
  up,
} from './looks-like-parts.ts';
import type { Sign, Signs } from './looks-like-signs.ts';
import { type Expectation, type Hypothesis, percent } from './looks-like-weigh.ts';

/** A size fitted to one sign predicts others to about this share (ours). */
const FITTED_WITHIN = 0.3;
function wrongPass(evidence: ChangeEvidence, signs: Signs): Hypothesis | null {
  const { feed, voltage, travel } = signs.of;
  const likelier = evidence.passMismatch?.likelier ?? [];
  const told = likelier.length > 0;
  const set = { feed, voltage, travel };
  const together = Object.entries(set).filter(([, sign]) => shows(sign, 0) && Math.abs(sign.z) >= 3);
  const asASet =
    evidence.shape === 'step' && together.some(([name]) => name === 'feed') && together.length >= 2;
  if (!told && !(asASet && together.some(([name]) => name === 'travel'))) return null;
  const names = together.map(([name]) => (name === 'feed' ? 'wire feed' : name)).join(', ');
  const like = told ? likelier.join(' or ') : 'another pass';
  return {
    cause: CAUSES.wrongPass,
    sentences: [
      told
        ? `Wire feed and travel are nearer to ${like} than to the assigned pass.`
        : `${names[0]!.toUpperCase()}${names.slice(1)} changed together${howLong(evidence)}: like the set of another pass.`,
    ],
    expects: {
      current: any,
      voltage: any,
      feed: any,
      travel: any,
      gas: any,
      currentSpread: any,
      voltageSpread: any,
    },
    remarks: [
      ...(told ? [{ points: 6, text: `feed and travel compared with the procedure: likelier ${like}` }] : []),
      ...(together.length > 0 ? [{ points: 2 * together.length, text: `moved together: ${names}` }] : []),
      ...startRemark(evidence, 1, -1),
    ],
  };
}

function gasOrDraught(evidence: ChangeEvidence, signs: Signs): Hypothesis | null {
  const { gas, currentSpread, voltageSpread } = signs.of;
  const less = shows(gas, -1);
  const restless = [currentSpread, voltageSpread].some(sign => sign !== null && sign.z >= 2);
  if (!less && !restless) return null;
  const flow = less ? `Gas flow ${percent(gas.share)} low` : 'Arc restless';
  const meter =
    gas === null ? 'Gas flow is not measured.' : 'The flow meter shows nothing: a draught does that too.';
  return {
    cause: CAUSES.gasOrDraught,
    sentences: [
      `${flow}${howLong(evidence)}: like ${less ? 'shielding gas lost' : 'gas lost at the nozzle or a draught'}.`,
      ...(less ? [] : [meter]),
    ],
    expects: {
      gas: less ? fits(gas) : any,
      currentSpread: up(!less, 'an arc without its gas is restless'),
      voltageSpread: up(!less, 'an arc without its gas is restless'),
    },
    remarks: [],
  };
}

/** Whether the installer's words put the voltage tap at the arc or at the source; null where they tell neither. */
function tapAt({ voltageTapPoint }: ChangeEvidence): 'arc' | 'source' | null {
  const words = voltageTapPoint ?? '';
  if (/source|terminal|machine|cabinet|truck/i.test(words)) return 'source';
  return /tip|torch|arc|head|nozzle|work|feeder/i.test(words) ? 'arc' : null;
}

function voltageChanges(evidence: ChangeEvidence, signs: Signs, earth: boolean): Hypothesis | null {
  const { voltage } = signs.of;
  if (!shows(voltage, earth ? -1 : 0)) return null;
  const tap = tapAt(evidence);
  // Seen from the source's terminals a bad earth changes nothing.
  if (earth && tap === 'source') return null;
  const way = voltage.change < 0 ? 'low' : 'high';
  const { current } = signs.of;
  const steady = current !== null && Math.abs(current.z) < 2 ? ' and the current where the feed puts it' : '';
  const mOhm = signs.currentA === null ? null : (-voltage.change / signs.currentA) * 1000;
  const like = earth
    ? mOhm === null
      ? 'a bad earth or joint in a lead'
      : `about ${mOhm.toFixed(1)} mΩ more in the earth or a lead`
    : 'a source set or giving otherwise';
  return {
    cause: earth ? CAUSES.badEarth : CAUSES.voltageSet,
    sentences: [
      `Voltage ${Math.abs(voltage.change).toFixed(2)} V ${way}${steady}${howLong(evidence)}: like ${like}.`,
      ...(earth ? ['A source set lower or a voltage that reads low would look the same.'] : []),
      ...(!earth && voltage.change < 0 && tap !== 'source'
        ? ['A bad earth or a voltage that reads low would look the same.']
        : []),
      ...(earth && tap === null ? ['Only where voltage is measured at the arc, which is not told.'] : []),
    ],
    expects: {
      voltage: fits(voltage),
      currentSpread: earth ? up(false, 'a loose joint is restless') : any,
      voltageSpread: earth ? up(false, 'a loose joint is restless') : any,
    },
    remarks: [shapeRemark(evidence, 0.5, earth ? 0.25 : 0)],
  };
}

function travelChanges(evidence: ChangeEvidence, signs: Signs): Hypothesis | null {
  const { travel } = signs.of;
  if (!shows(travel, 0)) return null;
  return {
    cause: CAUSES.travelSet,
    sentences: [
      `Travel ${percent(travel.share)} ${travel.change < 0 ? 'slow' : 'fast'}${howLong(evidence)}: like travel set otherwise, or a carriage that drags or slips.`,
      'Slip that the encoder does not see has no sign here: closure at 6 o’clock would tell.',
    ],
    expects: { travel: fits(travel) },
    remarks: [shapeRemark(evidence, 0.5, 0)],
  };
}

function sensor(evidence: ChangeEvidence, signs: Signs): Hypothesis | null {
  const { plainCurrent } = signs;
  const { voltage, feed, travel, gas } = signs.of;
  const alone = { current: plainCurrent, voltage, 'wire feed': feed, travel, 'gas flow': gas };
  const moved = Object.entries(alone).filter((entry): entry is [string, Sign] => shows(entry[1], 0));
  const [first] = moved.sort((a, b) => Math.abs(b[1].z) - Math.abs(a[1].z));
  if (first === undefined) return null;
  const [name, sign] = first;
  const { current } = signs.of;
  // A feed that only reads otherwise leaves the current where it was, which the burn-off line shows as a change.
  const read: Expectation =
    name === 'wire feed' && current !== null && plainCurrent !== null && current.sigma !== null
      ? moves(
          (current.change - plainCurrent.change) / current.sigma,
          FITTED_WITHIN,
          'the current did not follow the feed',
        )
      : moves(0, 0);
  const key = {
    current: 'current',
    voltage: 'voltage',
    'wire feed': 'feed',
    travel: 'travel',
    'gas flow': 'gas',
  }[name]!;
  return {
    cause: CAUSES.sensor,
    sentences: [
      `Only ${name} is off, ${percent(sign.share)} ${sign.change < 0 ? 'low' : 'high'}${howLong(evidence)}: like its sensor reading wrong. A reference meter would tell.`,
    ],
    expects: { current: read, [key]: fits(sign) },
    // It would fit any one channel that moves alone.
    remarks: [{ points: -1, text: 'a wrong reading would fit any one channel that moves alone' }],
  };
}

/** Every cause that can be weighed here, in the order of the catalogue. Things with no electrical sign are never among them. */
export function hypothesesOf(evidence: ChangeEvidence, signs: Signs): Hypothesis[] {
  const order: readonly string[] = Object.values(CAUSES);
  return [
    wrongPass(evidence, signs),
    ...meltingCauses(evidence, signs),
    gasOrDraught(evidence, signs),
    voltageChanges(evidence, signs, true),
    voltageChanges(evidence, signs, false),
    travelChanges(evidence, signs),
    sensor(evidence, signs),
  ]
    .filter(hypothesis => hypothesis !== null)
    .sort((a, b) => order.indexOf(a.cause) - order.indexOf(b.cause));
}
