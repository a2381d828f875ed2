import type { DriftCall } from '#core/messages/drift';
import type { Pass } from '#core/messages/pass';
import type { ReplayDocument } from './replay.ts';

const HEADINGS = [
  'pass',
  'start s',
  'arc s',
  'restarts',
  'I A',
  'U V',
  'travel mm/s',
  'run-out mm',
  'arc kJ',
  'kJ/mm',
  'heat kJ/mm',
  'out of',
];

/** The replay for people: a line a pass, then what to know about the data. */
export function replayTable(document: ReplayDocument): string {
  const { source, signal, passes, deviations } = document;
  const lines = [
    `${source.file}: ${source.samples} samples in ${source.durationS.toFixed(1)} s, ${source.rejected} rows rejected`,
    `gaps ${signal.gaps.length} · held ${signal.held.length} · out of order ${signal.outOfOrder} · equal times ${signal.duplicateTimes}`,
    '',
  ];
  if (passes.length === 0) lines.push('No arc in this recording.');
  else lines.push(...columns([HEADINGS, ...passes.map(passRow)]));
  for (const pass of passes) {
    for (const reason of pass.reasons)
      lines.push(`pass ${pass.index}: ${reason.text} (${reason.fields.join(', ')})`);
  }
  for (const { index, drift } of passes) {
    for (const call of drift?.calls ?? []) lines.push(`pass ${index}: ${callLine(call)}`);
  }
  for (const deviation of deviations) {
    const { quantity, unit, extreme, min, max, fromS, toS } = deviation;
    lines.push(
      `pass ${deviation.passIndex}: ${quantity} ${number(extreme, 3)} ${unit}, limits ${number(min, 3)} to ${number(max, 3)}, from ${fromS.toFixed(1)} to ${toS.toFixed(1)} s`,
    );
  }
  if (passes.length === 0) for (const reason of document.reasons) lines.push(reason.text);
  return lines.join('\n');
}

/** "drifting: … · looks like …, not a verdict". */
function callLine({ rule, text, looksLike }: DriftCall): string {
  const causes = looksLike.map(({ cause }) => cause).join(', ');
  return `${rule}: ${text}${causes && ` Looks like ${causes}; not a verdict.`}`;
}

function passRow(pass: Pass): string[] {
  const out = pass.verdicts.filter(verdict => verdict.state === 'out').map(verdict => verdict.quantity);
  return [
    pass.procedurePass ?? pass.label ?? String(pass.index),
    number(pass.startS, 2),
    number(pass.arcTimeS, 2),
    String(pass.restarts),
    number(pass.meanCurrentA, 1),
    number(pass.meanVoltageV, 2),
    number(pass.meanTravelMmS, 2),
    number(pass.runOutLengthMm, 1),
    number(pass.arcEnergyKj, 2),
    number(pass.arcEnergyKjMm, 3),
    number(pass.heatInputKjMm, 3),
    [...new Set(out)].join(' ') || '–',
  ];
}

function number(value: number | null, digits: number): string {
  return value === null ? '—' : value.toFixed(digits);
}

function columns(rows: readonly string[][]): string[] {
  const widths = rows[0]!.map((_, at) => Math.max(...rows.map(row => row[at]!.length)));
  return rows.map(row => row.map((cell, at) => cell.padStart(widths[at]!)).join('  '));
}
