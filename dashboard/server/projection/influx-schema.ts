/** What the points of samples are made of, for who writes and who reads them. Documented: docs/influx.md. */
import type { ISchemaOptions } from 'influx';
import type { Channel } from '#core/sample/channels';

export const SAMPLES = 'samples';

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

/** Beside the channels: whose record time it is, that time, and the length of the averaging interval. */
export const STREAM_FIELD = 'stream';
export const RECORD_TIME_FIELD = 'record_us';
export const LENGTH_FIELD = 'length_us';

/** `FieldType` is the client's own: the client is loaded only where it is used. */
export function sampleSchema(database: string, type: typeof import('influx').FieldType): ISchemaOptions {
  return {
    database,
    measurement: SAMPLES,
    tags: ['site', 'rig', 'source'],
    fields: {
      ...Object.fromEntries(Object.values(SAMPLE_FIELDS).map(field => [field, type.FLOAT])),
      [STREAM_FIELD]: type.STRING,
      [RECORD_TIME_FIELD]: type.INTEGER,
      [LENGTH_FIELD]: type.INTEGER,
    },
  };
}
