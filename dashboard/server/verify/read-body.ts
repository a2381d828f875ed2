import { type RecordBody, recordBodySchema } from '#core/messages/record';

/** Null where the record's text is not one that can be read: its hash is all there is to check. */
export function readBody({ body }: { readonly body: string }): RecordBody | null {
  try {
    const parsed = recordBodySchema.safeParse(JSON.parse(body));
    return parsed.success ? parsed.data : null;
  } catch {
    return null;
  }
}
