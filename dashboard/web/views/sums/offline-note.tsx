import { useApp } from '../../app-context.ts';
import { text } from '../../text/text.ts';

/** Whether this page would open without a network. */
export function OfflineNote() {
  const { shell } = useApp();
  const t = text.value.sums.offline;
  const state = shell.state.value;
  return <p class="hint">{state === 'kept' ? t.kept : state === 'keeping' ? t.keeping : t.notHere}</p>;
}
