import { Pick } from '../../../parts/pick.tsx';
import { text } from '../../../text/text.ts';
import { TypedField } from '../../verify/fields.tsx';

interface PassPickProps {
  readonly legend: string;
  readonly names: readonly string[];
  readonly value: string;
  readonly error: string | null;
  readonly pick: (pass: string) => void;
}

/** A pass of the procedure; typed where no procedure is known. */
export function PassPick({ legend, names, value, error, pick }: PassPickProps) {
  if (names.length === 0) {
    return (
      <TypedField id="pass" label={legend} value={value} kind="text" max={60} error={error} type={pick} />
    );
  }
  return (
    <Pick
      name="pass"
      legend={legend}
      options={names.map(name => ({ value: name, label: name }))}
      value={value}
      error={error}
      pick={pick}
    />
  );
}

interface SidePickProps {
  readonly both: boolean;
  readonly value: string;
  readonly error: string | null;
  readonly pick: (side: string) => void;
}

export function SidePick({ both, value, error, pick }: SidePickProps) {
  const { work, jointEntries } = text.value;
  return (
    <Pick
      name="side"
      legend={jointEntries.side}
      hint={work.sideNote}
      options={[
        { value: 'A', label: work.sideA },
        { value: 'B', label: work.sideB },
        ...(both ? [{ value: 'both', label: jointEntries.bothSides }] : []),
      ]}
      value={value}
      error={error}
      pick={pick}
    />
  );
}
