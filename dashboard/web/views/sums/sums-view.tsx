import { useState } from 'preact/hooks';
import type { Calculation } from '#core/calculations/calculation';
import { CATALOGUE, calculationNamed } from '#core/calculations/catalogue';
import { said } from '../../text/said.ts';
import { text } from '../../text/text.ts';
import { OfflineNote } from './offline-note.tsx';
import { SumSheet } from './sum-sheet.tsx';
import { readSumsMemory } from './sums-memory.ts';
import { mostUsed, sumsGroups } from './sums-order.ts';
import { sumsUrl } from './sums-route.ts';

/** Sums at the rig: choose, enter, answer. */
export function SumsView({ name }: { readonly name: string | null }) {
  const t = text.value.sums;
  if (name === null) return <SumsList />;
  const calculation = calculationNamed(name);
  if (calculation !== null) return <SumSheet calculation={calculation} />;
  return (
    <section class="sheet">
      <h1>{t.unknown(name)}</h1>
      <a class="button" href={sumsUrl(null)}>
        {t.backToList}
      </a>
    </section>
  );
}

function Entries({ entries }: { readonly entries: readonly Calculation[] }) {
  return (
    <ul class="sum-list">
      {entries.map(({ name, title }) => (
        <li key={name}>
          <a href={sumsUrl(name)}>{said(title)}</a>
        </li>
      ))}
    </ul>
  );
}

function SumsList() {
  const t = text.value.sums;
  const [typed, setTyped] = useState('');
  const [memory] = useState(() => readSumsMemory(localStorage));
  const groups = sumsGroups(CATALOGUE, typed);
  return (
    <section class="sheet form-sheet sums">
      <h1>{t.title}</h1>
      <p>{t.intro}</p>
      {typed.trim() === '' && (
        <>
          <h2>{t.mostUsed}</h2>
          <Entries entries={mostUsed(CATALOGUE, memory)} />
          <h2>{t.all}</h2>
        </>
      )}
      <div class="field sum-find">
        <label for="sum-find">{t.find}</label>
        <input
          id="sum-find"
          type="text"
          autoComplete="off"
          maxLength={60}
          value={typed}
          onInput={event => setTyped(event.currentTarget.value)}
        />
      </div>
      {groups.map(({ group, entries }) => (
        <section key={group}>
          <h3>{t.groups[group]}</h3>
          <Entries entries={entries} />
        </section>
      ))}
      <p role="status">{groups.length === 0 ? t.nothingFound(typed.trim()) : ''}</p>
      <OfflineNote />
      <p class="hint">{t.notAcceptance}</p>
    </section>
  );
}
