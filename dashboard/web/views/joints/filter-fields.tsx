import { DECISIONS } from '#core/journal/decisions';
import type { ProcedureStates } from '#core/messages/api-procedure';
import { useApp } from '../../app-context.ts';
import { More } from '../../parts/more.tsx';
import { text } from '../../text/text.ts';
import { useRead } from '../changes/use-read.ts';
import { TypedField } from '../verify/fields.tsx';
import { FILTER_KEYS, type FilterKey, type JointFilter } from './joint-filter.ts';

interface FilterFieldsProps {
  readonly filter: JointFilter;
  readonly change: (filter: JointFilter) => void;
}

/** Everything the list can be narrowed to beside what is typed. */
export function FilterFields({ filter, change }: FilterFieldsProps) {
  const { rigs, api } = useApp();
  const t = text.value;
  const f = t.joints.filters;
  const { value: states } = useRead('procedure states', () => api.get<ProcedureStates>(['procedure-states']));
  const active = FILTER_KEYS.filter(key => filter[key] !== undefined).length;
  const set = (key: FilterKey, value: string): void => {
    const { [key]: _, ...rest } = filter;
    change(value === '' ? rest : { ...rest, [key]: value });
  };
  const known = rigs.entries.value.map(({ rig: { site, rig } }) => `${site}/${rig}`);
  const procedures = (states?.states ?? []).map(({ id, revision }) => ({
    value: `${id}.${revision}`,
    label: t.jointEntries.words.wpsRevision(id, String(revision)),
  }));
  const select = (key: FilterKey, options: readonly { value: string; label: string }[]) => {
    const now = filter[key] ?? '';
    const all =
      now === '' || options.some(({ value }) => value === now)
        ? options
        : [...options, { value: now, label: now }];
    return (
      <div class="field">
        <label for={`filter-${key}`}>{f.labels[key]}</label>
        <select id={`filter-${key}`} value={now} onChange={event => set(key, event.currentTarget.value)}>
          <option value="">{f.any}</option>
          {all.map(({ value, label }) => (
            <option key={value} value={value}>
              {label}
            </option>
          ))}
        </select>
      </div>
    );
  };
  return (
    <More label={f.title(active)} open={active > 0} class="joint-filters">
      <div class="filter-fields">
        <TypedField
          id="filter-station"
          label={f.labels.station}
          kind="text"
          max={80}
          value={filter.station ?? ''}
          error={null}
          type={value => set('station', value)}
        />
        <TypedField
          id="filter-day"
          label={f.labels.day}
          kind="date"
          value={filter.day ?? ''}
          error={null}
          type={value => set('day', value)}
        />
        {select(
          'rig',
          known.map(value => ({ value, label: value })),
        )}
        {select('procedure', procedures)}
        {select('deviations', [
          { value: 'yes', label: f.hasDeviations },
          { value: 'no', label: f.noDeviations },
        ])}
        {select('disposition', [
          { value: 'none', label: f.noDisposition },
          ...DECISIONS.map(value => ({ value, label: t.dispositions.decisions[value] })),
        ])}
        {select('incomplete', [
          { value: 'yes', label: f.incomplete },
          { value: 'no', label: f.complete },
        ])}
      </div>
      {active > 0 && (
        <p class="form-actions">
          <button type="button" onClick={() => change({})}>
            {f.clear}
          </button>
        </p>
      )}
    </More>
  );
}
