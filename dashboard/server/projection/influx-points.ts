/**
 * A stored record as points for InfluxDB. Documented for whoever queries them: docs/influx.md.
 * Tags are few and bounded (site, rig, source, side, pass type); joint and pass ids are fields.
 */
import type { IPoint } from 'influx';
import type { PassMessage } from '#core/messages/pass';
import type { RecordBody } from '#core/messages/record';
import { fromBase64 } from '#core/sample/base64';
import { CHANNELS, type Channel } from '#core/sample/channels';
import { decodeChunk } from '#core/sample/codec';

/** Field of each channel: what it is and its unit. */
export const SAMPLE_FIELDS: Readonly<Record<Channel, string>> = {
  weldingCurrent: 'welding_current_a',
  arcVoltage: 'arc_voltage_v',
  power: 'power_w',
  wireFeedSpeed: 'wire_feed_speed_mm_s',
  wireLength: 'wire_length_mm',
  travelSpeed: 'travel_speed_mm_s',
  travelDistance: 'travel_distance_mm',
  gasFlow: 'gas_flow_l_min',
  temperature: 'temperature_cel',
  oscillationWidth: 'oscillation_width_mm',
  oscillationFrequency: 'oscillation_frequency_hz',
  program: 'program',
  status: 'status',
};

const PASS_FIELDS = {
  arc_time_s: 'arcTimeS',
  elapsed_s: 'elapsedS',
  restarts: 'restarts',
  extinctions: 'extinctions',
  unobserved_s: 'unobservedS',
  mean_current_a: 'meanCurrentA',
  mean_voltage_v: 'meanVoltageV',
  mean_wire_feed_mm_s: 'meanWireFeedMmS',
  mean_travel_mm_s: 'meanTravelMmS',
  run_out_length_mm: 'runOutLengthMm',
  arc_energy_kj: 'arcEnergyKj',
  arc_energy_kj_mm: 'arcEnergyKjMm',
  heat_input_kj_mm: 'heatInputKjMm',
  wire_used_m: 'wireUsedM',
} as const;

/** Times are µs since 1970 (write precision `u`): record time read on the wall clock as this batch knew it. */
export function pointsOf(body: RecordBody): IPoint[] {
  const tags = { site: body.site, rig: body.rig, source: body.origin };
  return [
    ...samplePoints(body, tags),
    ...body.passes.map(pass => passPoint(pass, tags)),
    ...eventPoints(body, tags),
  ];
}

type Tags = Readonly<Record<string, string>>;

function samplePoints(body: RecordBody, tags: Tags): IPoint[] {
  if (!body.samples) return [];
  const { n, tUs, columns } = decodeChunk(fromBase64(body.samples.data));
  const present = (Object.keys(CHANNELS) as Channel[]).filter(channel => columns[channel]);
  const points: IPoint[] = [];
  for (let i = 0; i < n; i++) {
    const fields: Record<string, number> = {};
    for (const channel of present) {
      const value = columns[channel]![i]!;
      // Unknown is no field, never 0.
      if (!Number.isNaN(value)) fields[SAMPLE_FIELDS[channel]] = value;
    }
    if (Object.keys(fields).length > 0) {
      points.push({
        measurement: 'samples',
        tags,
        fields,
        timestamp: wallUs(tUs[i]!, body.utcMinusRecordMs),
      });
    }
  }
  return points;
}

/** One point a pass, at its start: a later state of the same pass overwrites the earlier. */
function passPoint(message: PassMessage, tags: Tags): IPoint {
  const { pass } = message;
  const fields: Record<string, number | string> = {
    pass_id: message.passId,
    state: message.state,
    deviations: message.deviations.length,
  };
  if (message.joint !== null) fields['joint'] = message.joint;
  if (pass.procedurePass !== null) fields['procedure_pass'] = pass.procedurePass;
  for (const [field, key] of Object.entries(PASS_FIELDS)) {
    const value = pass[key];
    if (value !== null) fields[field] = value;
  }
  return {
    measurement: 'passes',
    tags: {
      ...tags,
      ...(message.side === null ? {} : { side: message.side }),
      energy_basis: pass.energyBasis,
    },
    fields,
    timestamp: 1000 * Date.parse(message.startUtc),
  };
}

function eventPoints(body: RecordBody, tags: Tags): IPoint[] {
  return body.events.map(event => ({
    measurement: 'events',
    tags: { ...tags, type: event.type },
    fields: { id: event.id, text: event.text },
    timestamp: wallUs(event.tUs, body.utcMinusRecordMs),
  }));
}

function wallUs(tUs: number, utcMinusRecordMs: number): number {
  return Math.round(tUs + 1000 * utcMinusRecordMs);
}
