/** Samples of a pass as text: CSV and JSON with the same columns, one row a sample, written as they are read. */
import { type CsvValue, csvLine, rounded } from '#core/csv/csv-writer';
import { localTime, utcTime } from '#core/csv/local-time';
import { CHANNELS } from '#core/sample/channels';
import { columnOf } from './column-names.ts';
import type { PassExport } from './pass-export.ts';
import type { PassSample } from './pass-samples.ts';

/** What the `pass` column of a row in the pass says; a map for replay reads it as a label. */
export const passLabel = ({ message }: Pick<PassExport, 'message'>): string => `pass ${message.pass.index}`;

interface Column {
  readonly name: string;
  readonly unit: string | null;
  readonly read: (sample: PassSample) => string | number | null;
}

const S_DECIMALS = 6;
const known = (value: number): number | null => (Number.isNaN(value) ? null : value);
/** Seconds from the start of the pass: what came before its arc is negative. */
const seconds = (us: number): number | null => rounded(us / 1e6, S_DECIMALS);

function columnsOf(pass: PassExport, zone: string): Column[] {
  const { message, samples, travelRatio } = pass;
  const local = localTime(zone);
  const label = passLabel(pass);
  const columns: Column[] = [
    { name: 'time_utc', unit: null, read: ({ utcMs }) => utcTime(utcMs) },
    { name: 'time_local', unit: null, read: ({ utcMs }) => local(utcMs) },
    { name: 't_s', unit: 's', read: ({ tUs }) => seconds(tUs - message.startUs) },
    { name: 'sample_length_s', unit: 's', read: ({ lengthUs }) => seconds(lengthUs) },
    { name: 'pass', unit: null, read: ({ inPass }) => (inPass ? label : null) },
    { name: 'quality', unit: null, read: ({ quality }) => quality.join(' ') || 'ok' },
  ];
  for (const channel of samples?.channels ?? []) {
    columns.push({
      name: columnOf(channel),
      unit: CHANNELS[channel].unit,
      read: sample => known(sample.value(channel)),
    });
  }
  for (const channel of ['travelSpeed', 'travelDistance'] as const) {
    if (!samples?.channels.includes(channel)) continue;
    columns.push({
      name: columnOf(channel).replace(/^travel_(speed|distance)/, 'travel_$1_weld'),
      unit: CHANNELS[channel].unit,
      read: sample => rounded(sample.value(channel) * travelRatio, S_DECIMALS),
    });
  }
  return columns;
}

export function* samplesCsv(pass: PassExport, zone: string): Generator<string> {
  const columns = columnsOf(pass, zone);
  yield csvLine(columns.map(({ name }) => name));
  for (const sample of pass.samples?.samples() ?? []) {
    yield csvLine(columns.map(({ read }): CsvValue => read(sample)));
  }
}

/** `girthlog.pass-samples/1` (messages/api-export.ts), as one JSON text in pieces. */
export function* samplesJson(pass: PassExport, zone: string, software: string): Generator<string> {
  const { message, referenceRadiusMm } = pass;
  const columns = columnsOf(pass, zone);
  const head = {
    schema: 'girthlog.pass-samples/1',
    software,
    origin: message.origin,
    joint: pass.work.joint,
    side: pass.work.side,
    pass: pass.work.pass,
    passId: message.passId,
    site: message.site,
    rig: message.rig,
    stream: message.stream,
    startUs: message.startUs,
    zone,
    referenceRadiusMm,
    columns: columns.map(({ name, unit }) => ({ name, unit })),
  };
  yield `${JSON.stringify(head).slice(0, -1)},"rows":[`;
  let separator = '\n';
  for (const sample of pass.samples?.samples() ?? []) {
    yield `${separator}${JSON.stringify(columns.map(({ read }) => read(sample)))}`;
    separator = ',\n';
  }
  yield '\n]}\n';
}
