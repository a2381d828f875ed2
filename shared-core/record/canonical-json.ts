/**
 * One text for one JSON value: RFC 8785 (JSON Canonicalization Scheme). No white space; keys in the order of their
 * UTF-16 code units (section 3.2.3); numbers as ECMAScript writes them (3.2.2.3), so −0 is 0; strings escaped as
 * little as JSON allows (3.2.2.2). What a text of JSON cannot hold is refused, never dropped or replaced, for
 * what is left out would not be signed.
 */

/** A value that has no canonical text; the message names its place, as in `$.passes[2].seal`. */
export class NotCanonicalError extends Error {}

/** Deeper than any document here; a value that holds itself ends here too. */
const DEEPEST = 100;

/** The canonical text of null, booleans, finite numbers, well-formed strings, arrays and plain objects of these. */
export function canonicalJson(value: unknown): string {
  return textOf(value, '$', 0);
}

function textOf(value: unknown, at: string, depth: number): string {
  if (depth > DEEPEST) throw new NotCanonicalError(`${at} is nested deeper than ${DEEPEST} levels`);
  if (value === null || typeof value === 'boolean') return String(value);
  if (typeof value === 'number') return numberText(value, at);
  if (typeof value === 'string') return stringText(value, at);
  if (Array.isArray(value)) {
    return `[${Array.from(value, (item, n) => textOf(item, `${at}[${n}]`, depth + 1)).join(',')}]`;
  }
  if (!isPlainObject(value)) throw new NotCanonicalError(`${at} is ${nameOf(value)}, which JSON cannot hold`);
  // Without a comparison of its own, sort() compares UTF-16 code units: the order the RFC asks for.
  const members = Object.keys(value)
    .sort()
    .map(
      key =>
        `${stringText(key, `a key of ${at}`)}:${textOf(value[key], `${at}${memberPath(key)}`, depth + 1)}`,
    );
  return `{${members.join(',')}}`;
}

function numberText(value: number, at: string): string {
  if (!Number.isFinite(value)) throw new NotCanonicalError(`${at} is ${value}, which JSON cannot hold`);
  return JSON.stringify(value);
}

function stringText(value: string, at: string): string {
  if (/\p{Surrogate}/u.test(value))
    throw new NotCanonicalError(`${at} holds half of a character (a lone surrogate)`);
  return JSON.stringify(value);
}

function isPlainObject(value: unknown): value is Record<string, unknown> {
  if (typeof value !== 'object' || value === null) return false;
  const prototype: unknown = Object.getPrototypeOf(value);
  return prototype === Object.prototype || prototype === null;
}

function nameOf(value: unknown): string {
  if (value === undefined) return 'undefined';
  if (typeof value !== 'object') return `a ${typeof value}`;
  return `a ${(value as object).constructor.name}`;
}

function memberPath(key: string): string {
  return /^[A-Za-z_]\w*$/.test(key) ? `.${key}` : `[${JSON.stringify(key)}]`;
}
