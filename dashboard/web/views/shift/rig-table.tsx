import type { ShownQuantity } from '#core/units/shown-units';
import { format, text } from '../../text/text.ts';
import { AndMore, beyond } from './and-more.tsx';
import { type Cell, RIG_COLUMNS, type RigColumn, type RigRow } from './rig-rows.ts';

/** Columns whose heads carry a unit. */
const COLUMN_QUANTITY: Readonly<Partial<Record<RigColumn, ShownQuantity>>> = {
  wire: 'wireLength',
  wireKg: 'wireMass',
  deposition: 'depositionRate',
  gas: 'gasVolume',
  spool: 'spoolMass',
};

/** One row a rig; on a narrow screen each row is a card. */
export function RigTable({ rows, printed }: { readonly rows: readonly RigRow[]; readonly printed: number }) {
  const t = text.value.shift;
  const { units } = format();
  const head = (column: RigColumn): string => {
    const words = t.columns[column];
    const quantity = COLUMN_QUANTITY[column];
    return typeof words === 'string' ? words : words(quantity === undefined ? '' : units[quantity].unit);
  };
  const sites = new Set(rows.map(({ site }) => site)).size > 1;
  return (
    <>
      <table class="shift-rigs">
        <thead>
          <tr>
            <th scope="col">{t.columns.rig}</th>
            {RIG_COLUMNS.map(column => (
              <th key={column} scope="col">
                {head(column)}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {rows.map(({ site, rig, cells }, i) => (
            <tr key={`${site}/${rig}`} class={beyond(i, printed)}>
              <th scope="row">{sites ? `${site} ${rig}` : rig}</th>
              {RIG_COLUMNS.map(column => (
                <td key={column} data-label={head(column)}>
                  {cells[column].text}
                  <NoteMarks cell={cells[column]} />
                </td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
      <AndMore all={rows.length} printed={printed} as="p" />
    </>
  );
}

/** " (1)": what the notes under the table say of it. */
export function NoteMarks({ cell }: { readonly cell: Cell }) {
  const t = text.value.shift;
  if (cell.notes.length === 0) return null;
  return <span class="shift-note-mark"> {cell.notes.map(t.note).join(' ')}</span>;
}

interface ShiftNotesProps {
  readonly notes: readonly string[];
  readonly definitions: string;
  readonly printed: number;
}

export function ShiftNotes({ notes, definitions, printed }: ShiftNotesProps) {
  const t = text.value.shift;
  return (
    <section class="shift-notes" aria-label={t.notes}>
      {notes.length > 0 && (
        <ol>
          {notes.map((note, i) => (
            <li key={note} class={beyond(i, printed)}>
              {note}
            </li>
          ))}
        </ol>
      )}
      <AndMore all={notes.length} printed={printed} as="p" />
      <p class="hint">{definitions}</p>
    </section>
  );
}
