/** The `[source]` table of the edge's configuration (docs/serial.md). */
import { z } from 'zod';
import { delimitedMapSchema } from '#core/frame/delimited-map';
import { modbusMapSchema } from './modbus-map.ts';
import { parseSourceUrl, type SourceUrl } from './source-url.ts';

export const sourceSettingsSchema = z
  .strictObject({
    url: z.string().max(1000),
    /** `auto` tells text from binary; a delimited line has to be mapped. Modbus URLs have no format. */
    format: z.enum(['auto', 'text', 'binary', 'delimited', 'modbus']).default('auto'),
    delimited: delimitedMapSchema.optional(),
    modbus: modbusMapSchema.optional(),
  })
  .superRefine((settings, ctx) => {
    const complain = (key: string, message: string): void => {
      ctx.addIssue({ code: 'custom', path: [key], message });
    };
    let url: SourceUrl;
    try {
      url = parseSourceUrl(settings.url);
    } catch (error) {
      complain('url', error instanceof Error ? error.message : String(error));
      return;
    }
    const isModbus = url.kind === 'modbus-rtu' || url.kind === 'modbus-tcp';
    if (isModbus && settings.modbus === undefined) complain('modbus', 'which registers? add [source.modbus]');
    if (isModbus && settings.format !== 'auto' && settings.format !== 'modbus') {
      complain('format', `a ${url.kind}: source is read as Modbus, not as ${settings.format}`);
    }
    if (!isModbus && settings.format === 'modbus')
      complain('format', 'Modbus needs a modbus-rtu: or modbus-tcp: URL');
    if (!isModbus && settings.modbus !== undefined)
      complain('modbus', 'only for modbus-rtu: and modbus-tcp: URLs');
    if (settings.format === 'delimited' && settings.delimited === undefined) {
      complain('delimited', 'which column is what? add [source.delimited]');
    }
    if (settings.format !== 'delimited' && settings.delimited !== undefined) {
      complain('delimited', 'only for format = "delimited"');
    }
    const { delimited } = settings;
    if (
      url.kind === 'file' &&
      delimited &&
      delimited.time === undefined &&
      delimited.period_s === undefined
    ) {
      complain('delimited', 'lines of a file need a time column or period_s');
    }
  });
export type SourceSettings = z.infer<typeof sourceSettingsSchema>;
