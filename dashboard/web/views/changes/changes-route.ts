/** Changes along the weld: calls to be marked, one pass type over the joints, how changes are called. */
import { OVER_QUANTITIES, type OverQuantity } from './over-quantities.ts';

export type ChangesRoute =
  | { readonly view: 'changes' }
  | {
      readonly view: 'changesOver';
      /** Procedure id, pass and origin; null until one is picked. */
      readonly type: string | null;
      readonly quantity: OverQuantity;
    }
  | { readonly view: 'changesSettings' };

/** `changes`, `changes/joints?type=&quantity=`, `changes/settings`, already decoded; null for any other path. */
export function parseChangesRoute(
  parts: readonly (string | undefined)[],
  asked: URLSearchParams,
): ChangesRoute | null {
  const [top, page] = parts;
  if (top !== 'changes') return null;
  if (page === 'settings') return { view: 'changesSettings' };
  if (page !== 'joints') return { view: 'changes' };
  const quantity = OVER_QUANTITIES.find(one => one === asked.get('quantity')) ?? 'weldingCurrent';
  return { view: 'changesOver', type: asked.get('type'), quantity };
}

export function changesUrl(route: ChangesRoute): string {
  if (route.view === 'changes') return '#/changes';
  if (route.view === 'changesSettings') return '#/changes/settings';
  const asked = new URLSearchParams({
    ...(route.type === null ? {} : { type: route.type }),
    quantity: route.quantity,
  });
  return `#/changes/joints?${asked}`;
}

export const isChangesRoute = (route: { readonly view: string }): route is ChangesRoute =>
  route.view.startsWith('changes');
