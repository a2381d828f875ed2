import { CHECK_NAMES } from '#core/journal/check-rules';
import type { CheckName } from '#core/journal/rig-entries';

/** The checks of one rig; `check` null is the list of them. */
export interface VerifyRoute {
  readonly view: 'verify';
  readonly site: string;
  readonly rig: string;
  readonly check: CheckName | null;
}

/** `rigs/{site}/{rig}/verify[/{check}]`, already decoded; null for any other path. */
export function parseVerifyRoute(parts: readonly (string | undefined)[]): VerifyRoute | null {
  const [top, site, rig, view, check] = parts;
  if (top !== 'rigs' || site === undefined || rig === undefined || view !== 'verify') return null;
  return { view, site, rig, check: CHECK_NAMES.find(name => name === check) ?? null };
}

export function verifyUrl({ site, rig, check }: Omit<VerifyRoute, 'view'>): string {
  const base = `#/rigs/${encodeURIComponent(site)}/${encodeURIComponent(rig)}/verify`;
  return check === null ? base : `${base}/${check}`;
}
