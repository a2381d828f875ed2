/**
 * A connection string chooses the transport:
 *   serial:///dev/serial/by-id/…?baud=115200&parity=none&databits=8&stopbits=1
 *   tcp://host:port                       a serial device server
 *   file:///path?pace=real|fast           a recording of the bytes
 *   modbus-rtu:///dev/…?baud=19200&parity=even&unit=1
 *   modbus-tcp://host:502?unit=1
 */
export interface SerialLine {
  readonly path: string;
  readonly baud: number;
  readonly parity: 'none' | 'even' | 'odd';
  readonly databits: 7 | 8;
  readonly stopbits: 1 | 2;
}

export type SourceUrl =
  | ({ readonly kind: 'serial' } & SerialLine)
  | { readonly kind: 'tcp'; readonly host: string; readonly port: number }
  | { readonly kind: 'file'; readonly path: string; readonly pace: 'real' | 'fast' }
  | ({ readonly kind: 'modbus-rtu'; readonly unit: number } & SerialLine)
  | { readonly kind: 'modbus-tcp'; readonly host: string; readonly port: number; readonly unit: number };

const SERIAL_KEYS = ['baud', 'parity', 'databits', 'stopbits'];

/** Throws RangeError with one sentence that says what is wrong with `text`. */
export function parseSourceUrl(text: string): SourceUrl {
  let url: URL;
  try {
    url = new URL(text);
  } catch {
    throw new RangeError(
      `"${text}" is not a source URL: write for example serial:///dev/ttyUSB0?baud=115200`,
    );
  }
  if (url.username !== '' || url.password !== '' || url.hash !== '') {
    throw new RangeError(`"${text}": a source URL has no user, password or #`);
  }
  switch (url.protocol) {
    case 'serial:':
      allowKeys(url, SERIAL_KEYS);
      return { kind: 'serial', ...serialLine(url) };
    case 'modbus-rtu:':
      allowKeys(url, [...SERIAL_KEYS, 'unit']);
      return { kind: 'modbus-rtu', ...serialLine(url), unit: unitId(url) };
    case 'tcp:':
      allowKeys(url, []);
      return { kind: 'tcp', ...hostAndPort(url, null) };
    case 'modbus-tcp:':
      allowKeys(url, ['unit']);
      return { kind: 'modbus-tcp', ...hostAndPort(url, 502), unit: unitId(url) };
    case 'file:':
      allowKeys(url, ['pace']);
      return {
        kind: 'file',
        path: pathOf(url),
        pace: choice(url, 'pace', ['real', 'fast'] as const, 'fast'),
      };
    default:
      throw new RangeError(`"${text}" begins with none of serial:, tcp:, file:, modbus-rtu:, modbus-tcp:`);
  }
}

function allowKeys(url: URL, known: readonly string[]): void {
  for (const key of url.searchParams.keys()) {
    if (known.includes(key)) continue;
    const list = known.length === 0 ? 'it takes none' : `it takes ${known.join(', ')}`;
    throw new RangeError(`"${url.href}": "${key}" is not a setting of ${url.protocol} (${list})`);
  }
}

function serialLine(url: URL): SerialLine {
  return {
    path: pathOf(url),
    baud: wholeNumber(url, 'baud', 115_200, 50, 4_000_000),
    parity: choice(url, 'parity', ['none', 'even', 'odd'] as const, 'none'),
    databits: wholeNumber(url, 'databits', 8, 7, 8) as 7 | 8,
    stopbits: wholeNumber(url, 'stopbits', 1, 1, 2) as 1 | 2,
  };
}

function pathOf(url: URL): string {
  let path = '';
  try {
    path = decodeURIComponent(url.pathname);
  } catch {
    throw new RangeError(`"${url.href}": the path has a broken % in it`);
  }
  if (url.host !== '') throw new RangeError(`"${url.href}": write three slashes, ${url.protocol}///path`);
  if (!path.startsWith('/') || path === '/' || path.includes('\0')) {
    throw new RangeError(`"${url.href}" names no file: write ${url.protocol}///path`);
  }
  return path;
}

function hostAndPort(url: URL, defaultPort: number | null): { host: string; port: number } {
  const host = url.hostname.replace(/^\[(.*)\]$/, '$1');
  const port = url.port === '' ? defaultPort : Number(url.port);
  if (host === '' || port === null || port === 0 || (url.pathname !== '' && url.pathname !== '/')) {
    throw new RangeError(`"${url.href}": write ${url.protocol}//host:port`);
  }
  return { host, port };
}

function unitId(url: URL): number {
  return wholeNumber(url, 'unit', 1, 0, 247);
}

function wholeNumber(url: URL, key: string, fallback: number, min: number, max: number): number {
  const text = url.searchParams.get(key);
  if (text === null) return fallback;
  const value = Number(text);
  if (!/^[0-9]{1,8}$/.test(text) || value < min || value > max) {
    throw new RangeError(`"${url.href}": ${key} is a whole number from ${min} to ${max}`);
  }
  return value;
}

function choice<T extends string>(url: URL, key: string, options: readonly T[], fallback: T): T {
  const text = url.searchParams.get(key);
  if (text === null) return fallback;
  const found = options.find(option => option === text);
  if (found === undefined) throw new RangeError(`"${url.href}": ${key} is ${options.join(' or ')}`);
  return found;
}
