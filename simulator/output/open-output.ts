import { type ByteOutput, OutputError } from './byte-output.ts';
import { FileOutput } from './file-output.ts';
import { TcpOutput } from './tcp-output.ts';

export const DEFAULT_BAUD = 115_200;

export interface OutputHooks {
  /** What a reader that has just connected is told first. */
  readonly greeting: () => Uint8Array;
  /** The port went away while in use. */
  readonly onClosed: (reason: string) => void;
}

/**
 * `tcp://host:port` (port 0: a free one), `serial:///dev/…?baud=115200` or `file:///path`.
 * Throws OutputError on anything else.
 */
export async function openOutput(url: string, hooks: OutputHooks): Promise<ByteOutput> {
  const parsed = URL.canParse(url) ? new URL(url) : null;
  if (parsed?.protocol === 'tcp:' && parsed.hostname !== '') {
    const port = parsed.port === '' ? 0 : Number(parsed.port);
    return new TcpOutput(parsed.hostname.replace(/^\[|\]$/g, ''), port, hooks.greeting);
  }
  if (parsed?.protocol === 'file:' && parsed.pathname.length > 1) {
    return new FileOutput(decodeURIComponent(parsed.pathname));
  }
  if (parsed?.protocol === 'serial:' && parsed.pathname.length > 1) {
    const baud = Number(parsed.searchParams.get('baud') ?? DEFAULT_BAUD);
    if (!Number.isInteger(baud) || baud < 300 || baud > 4_000_000) {
      throw new OutputError(`"${url}": baud must be a whole number from 300 to 4000000`);
    }
    // The native serial library is loaded only where a serial port is used.
    const { SerialOutput } = await import('./serial-output.ts');
    return new SerialOutput(decodeURIComponent(parsed.pathname), baud, hooks.onClosed);
  }
  throw new OutputError(`"${url}" is not an output: use tcp://host:port, serial:///dev/… or file:///path`);
}
