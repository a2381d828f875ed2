import { useEffect } from 'preact/hooks';
import type { PassMessage, Verdict } from '#core/messages/pass';
import { useApp } from '../../app-context.ts';
import { QUANTITY_DISPLAY } from '../../text/format.ts';
import { format, text } from '../../text/text.ts';
import type { MoveEntry } from './pass-work.ts';
import { type Rejudged, rejudge } from './rejudge.ts';

type Judged = Pick<Verdict, 'quantity' | 'basis' | 'state' | 'value' | 'reason'>;

function verdictWords(verdict: Judged): string {
  const t = text.value.joints;
  const display = QUANTITY_DISPLAY[verdict.quantity];
  if (verdict.value === null) return verdict.reason ?? t.verdictState[verdict.state];
  const value = display === undefined ? verdict.value : display.shown(verdict.value);
  const shown = format().fixed(value, display?.decimals ?? 2);
  return t.verdictLine(t.verdictState[verdict.state], shown, display?.unit ?? '');
}

const keyOf = ({ quantity, basis }: Pick<Verdict, 'quantity' | 'basis'>): string => `${quantity}/${basis}`;

interface VerdictCompareProps {
  readonly message: PassMessage;
  readonly move: MoveEntry;
}

/** The verdicts of the record, and those of the pass it belongs to now, side by side. Both are kept. */
export function VerdictCompare({ message, move }: VerdictCompareProps) {
  const { procedures } = useApp();
  const t = text.value;
  const j = t.joints;
  const { procedureId, procedureRevision, pass } = move.body;
  useEffect(
    () => procedures.want(procedureId, procedureRevision),
    [procedures, procedureId, procedureRevision],
  );
  const procedure = procedures.find(procedureId, procedureRevision);
  const now =
    procedure === null
      ? null
      : rejudge(message.pass, procedures.limitsOf(procedure, pass), procedure.waveformControlled === true);
  const recorded = new Map(message.pass.verdicts.map(verdict => [keyOf(verdict), verdict]));
  const again = new Map((now ?? []).map(one => [keyOf(one.limit), one]));
  const keys = [...new Set([...recorded.keys(), ...again.keys()])];
  return (
    <details class="more compare">
      <summary>{j.verdictsOpen}</summary>
      <p class="hint">{now === null ? j.noProcedureLoaded : j.verdictsNote}</p>
      <table>
        <thead>
          <tr>
            <th scope="col">{j.verdictsColumns.limit}</th>
            <th scope="col">{j.verdictsColumns.recorded}</th>
            <th scope="col">{j.verdictsColumns.now}</th>
          </tr>
        </thead>
        <tbody>
          {keys.map(key => {
            const before = recorded.get(key);
            const after = again.get(key);
            const limit = before ?? after?.limit;
            if (limit === undefined) return null;
            return (
              <tr key={key}>
                <th scope="row">
                  {t.quantity[limit.quantity] ?? limit.quantity}, {t.basis[limit.basis]}
                </th>
                <td data-label={j.verdictsColumns.recorded} data-verdict={before?.state ?? 'none'}>
                  {before === undefined ? j.verdictNone : verdictWords(before)}
                </td>
                <td data-label={j.verdictsColumns.now} data-verdict={stateNow(after)}>
                  {after === undefined
                    ? j.verdictNone
                    : 'verdict' in after
                      ? verdictWords(after.verdict)
                      : j.notRejudged[after.why]}
                </td>
              </tr>
            );
          })}
        </tbody>
      </table>
    </details>
  );
}

const stateNow = (after: Rejudged | undefined): string =>
  after === undefined ? 'none' : 'verdict' in after ? after.verdict.state : 'notJudged';
