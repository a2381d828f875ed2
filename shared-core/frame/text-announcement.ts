/**
 * The text announcement: `!A,1,R,57,10000,I:A:0.1,U:V:0.01` (docs/serial.md), without its checksum.
 */
import {
  type DeviceAnnouncement,
  type DeviceChannel,
  MAX_CHANNELS,
  MAX_INTERVAL_US,
  PROTOCOL_VERSION,
} from './device-announcement.ts';

const FIELD = /^([A-Z]):([!-)+.-9;-~]{1,20}):([0-9]{1,5}(?:\.[0-9]{1,9})?)$/;
const WHOLE = /^(?:0|[1-9][0-9]{0,9})$/;

export type ParsedAnnouncement = DeviceAnnouncement | 'malformed' | 'unknownVersion';

/** `body` begins with `!A,`. */
export function parseTextAnnouncement(body: string): ParsedAnnouncement {
  const [, version, kind, boot, period, ...fields] = body.split(',');
  if (version === undefined || !WHOLE.test(version)) return 'malformed';
  if (Number(version) !== PROTOCOL_VERSION) return 'unknownVersion';
  if (kind !== 'R' && kind !== 'S') return 'malformed';
  if (boot === undefined || !WHOLE.test(boot) || Number(boot) > 0xffff_ffff) return 'malformed';
  if (period === undefined || !WHOLE.test(period)) return 'malformed';
  const samplePeriodUs = Number(period);
  if (samplePeriodUs < 1 || samplePeriodUs > MAX_INTERVAL_US) return 'malformed';
  if (fields.length < 1 || fields.length > MAX_CHANNELS) return 'malformed';
  const channels: DeviceChannel[] = [];
  for (const field of fields) {
    const [, code, unit, scale] = FIELD.exec(field) ?? [];
    if (code === undefined || unit === undefined || scale === undefined) return 'malformed';
    if (!(Number(scale) > 0)) return 'malformed';
    channels.push({ code, unit, scale: Number(scale), width: 4 });
  }
  return { simulated: kind === 'S', boot: Number(boot), samplePeriodUs, channels };
}

/** The inverse. Throws RangeError on an announcement that the form cannot carry. */
export function printTextAnnouncement(device: DeviceAnnouncement): string {
  const fields = device.channels.map(({ code, unit, scale }) => `${code}:${unit}:${decimal(scale)}`);
  const head = ['!A', PROTOCOL_VERSION, device.simulated ? 'S' : 'R', device.boot, device.samplePeriodUs];
  const body = [...head, ...fields].join(',');
  if (typeof parseTextAnnouncement(body) === 'string') {
    throw new RangeError(`not an announcement a text frame can carry: ${body}`);
  }
  return body;
}

/** 0.00001 and not 1e-5. */
function decimal(scale: number): string {
  const text = String(scale);
  return text.includes('e') ? scale.toFixed(9).replace(/0+$/, '') : text;
}
