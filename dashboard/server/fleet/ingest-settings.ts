/** What an ingest worker is told; from flags and the environment, since addresses may hold passwords. */
import { z } from 'zod';
import { topicIdSchema } from '#core/messages/common';
import { EXIT, ProgramError } from '#core/program/program-error';
import { listenAddressSchema, rigNameSchema } from '../settings.ts';

export const ingestSettingsSchema = z.strictObject({
  /** Addresses of one broker or cluster, commas between them. */
  broker: z
    .string()
    .regex(
      /^mqtts?:\/\/[^\s,]+(,mqtts?:\/\/[^\s,]+)*$/,
      'use mqtt://HOST:PORT, several with commas between them',
    ),
  records: z.string().regex(/^postgres(ql)?:\/\/[^\s]+$/, 'use postgres://USER@HOST:PORT/DATABASE'),
  samples: z
    .string()
    .regex(/^https?:\/\/[^\s]+$/, 'use http://HOST:PORT/DATABASE')
    .nullable()
    .default(null),
  /** For mqtts: the authority of the broker's certificates, and this worker's own certificate and key; PEM files. */
  brokerAuthority: z.string().min(1).nullable().default(null),
  brokerCertificate: z.string().min(1).nullable().default(null),
  brokerKey: z.string().min(1).nullable().default(null),
  /** The name edges know this store by. */
  store: topicIdSchema.default('fleet'),
  /** Both empty: every rig. */
  sites: z.array(topicIdSchema).default([]),
  rigs: z.array(rigNameSchema).default([]),
  /** Where /livez, /readyz and /metrics are served; nowhere by default. */
  http: listenAddressSchema.nullable().default(null),
  logLevel: z.enum(['debug', 'info', 'warn', 'error', 'silent']).default('info'),
});
export type IngestSettings = z.infer<typeof ingestSettingsSchema>;

/** Throws ProgramError that names the flag. */
export function ingestSettings(flags: Readonly<Record<string, unknown>>): IngestSettings {
  const parsed = ingestSettingsSchema.safeParse(flags);
  if (parsed.success) return parsed.data;
  const [issue] = parsed.error.issues;
  const [name] = issue!.path;
  const flag = `--${String(name).replace(/[A-Z]/g, letter => `-${letter.toLowerCase()}`)}`;
  const text =
    flags[String(name)] === undefined ? 'is needed, or its variable in the environment' : issue!.message;
  throw new ProgramError(`${flag}: ${text}.`, EXIT.configuration);
}
