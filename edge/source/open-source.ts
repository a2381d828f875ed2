import { createDecoder, type DecoderChoice } from '#core/frame/create-decoder';
import { ByteSource } from './byte-source.ts';
import { FileSource } from './file-source.ts';
import { ModbusLink } from './modbus-link.ts';
import { ModbusSource } from './modbus-source.ts';
import { SerialLink } from './serial-link.ts';
import type { Source, SourceHandlers } from './source.ts';
import type { SourceClock } from './source-clock.ts';
import type { SourceSettings } from './source-settings.ts';
import { parseSourceUrl } from './source-url.ts';
import { TcpLink } from './tcp-link.ts';

/**
 * A source from its settings; nothing is opened before start().
 * Throws RangeError on a URL or a combination that sourceSettingsSchema would not have let through.
 */
export function openSource(settings: SourceSettings, clock: SourceClock, handlers: SourceHandlers): Source {
  const url = parseSourceUrl(settings.url);
  switch (url.kind) {
    case 'serial':
      return new ByteSource(new SerialLink(url), decoderOf(settings, false), clock, handlers);
    case 'tcp':
      return new ByteSource(new TcpLink(url.host, url.port), decoderOf(settings, false), clock, handlers);
    case 'file':
      return new FileSource(url, decoderOf(settings, true), clock, handlers);
    case 'modbus-rtu':
    case 'modbus-tcp': {
      const { modbus } = settings;
      if (modbus === undefined) throw new RangeError('a Modbus source needs the table [source.modbus]');
      return new ModbusSource(new ModbusLink(url, modbus.timeout_s * 1000), modbus, clock, handlers);
    }
  }
}

function decoderOf(settings: SourceSettings, startsAtLine: boolean): ReturnType<typeof createDecoder> {
  const { format, delimited } = settings;
  let choice: DecoderChoice;
  if (format === 'delimited') {
    if (delimited === undefined)
      throw new RangeError('format "delimited" needs the table [source.delimited]');
    choice = { format, map: delimited, startsAtLine };
  } else if (format === 'modbus') throw new RangeError('Modbus needs a modbus-rtu: or modbus-tcp: URL');
  else choice = { format };
  return createDecoder(choice);
}
