import { useState } from 'preact/hooks';
import { effectOf } from '#core/drift/effect-of';
import type { EntryPage } from '#core/messages/api-journal';
import type { Trial, WatchState } from '#core/messages/api-watch';
import type { DriftSettings } from '#core/messages/drift';
import { useApp } from '../../app-context.ts';
import { whenText } from '../../parts/when-text.ts';
import { text } from '../../text/text.ts';
import { numberText } from '../../text/typed-number.ts';
import { TypedField } from '../verify/fields.tsx';
import { usePeople } from '../verify/use-people.ts';
import { EffectWords } from './effect-words.tsx';
import { SaveSettings } from './save-settings.tsx';
import {
  SETTING_FIELDS,
  type SettingField,
  settingsOf,
  type TypedSettings,
  typedSettings,
  wrongSetting,
} from './settings-form.ts';
import { TrialTable } from './trial-table.tsx';
import { TrustFigures } from './trust-figures.tsx';
import { sentenceOf, useRead } from './use-read.ts';

/** How changes are called: what the numbers do, computed and on the last passes, before they are saved. */
export function SettingsView() {
  const { api } = useApp();
  const t = text.value.changes;
  const s = t.settings;
  const people = usePeople();
  const [saves, setSaves] = useState(0);
  const read = useRead(`settings ${saves}`, () => api.get<WatchState>(['watch']));
  const [typed, setTyped] = useState<TypedSettings | null>(null);
  const [trial, setTrial] = useState<Trial | null>(null);
  const [trying, setTrying] = useState(false);
  const [failure, setFailure] = useState<string | null>(null);
  if (read.value === null) {
    return (
      <>
        <h1>{s.title}</h1>
        {read.failure === null ? (
          <p>{t.loading}</p>
        ) : (
          <p class="message nodata" role="alert">
            {t.failed(read.failure)}
          </p>
        )}
      </>
    );
  }
  const { settings: inForce, changed, asShipped, computed } = read.value;
  const shown = typed ?? typedSettings(inForce);
  const settings = settingsOf(shown);
  const type = (field: SettingField, value: string): void => setTyped({ ...shown, [field]: value });
  const isTried = settings !== null && trial !== null && same(trial.settings, settings);

  async function tryThem(wanted: DriftSettings): Promise<void> {
    setTrying(true);
    setFailure(null);
    try {
      setTrial(await api.post<Trial>(['watch', 'trial'], { settings: wanted }));
    } catch (error) {
      setFailure(t.failed(sentenceOf(error)));
    }
    setTrying(false);
  }

  return (
    <>
      <h1>{s.title}</h1>
      <p>{s.intro}</p>
      <p>
        {changed === null
          ? s.shipped
          : s.changed(people.nameOf(changed.author), whenText(changed.at), changed.reason ?? '')}
      </p>
      <div class="form-sheet settings-fields">
        {(Object.keys(SETTING_FIELDS) as SettingField[]).map(field => {
          const { min, max } = SETTING_FIELDS[field];
          return (
            <TypedField
              key={field}
              id={`setting-${field}`}
              label={s.fields[field].label}
              hint={s.fields[field].hint}
              value={shown[field]}
              error={wrongSetting(field, shown[field]) ? s.wrong(numberText(min), numberText(max)) : null}
              type={value => type(field, value)}
            />
          );
        })}
        <p class="form-actions">
          <button type="button" onClick={() => setTyped(typedSettings(asShipped))}>
            {s.asShipped}
          </button>
        </p>
      </div>
      <section class="settings-effect" aria-label={s.effect} aria-live="polite">
        <h2>{s.effect}</h2>
        {settings === null ? (
          <p>{s.effectUnknown}</p>
        ) : (
          <EffectWords effect={shownEffect(settings, computed.assumed)} assumed={computed.assumed} />
        )}
      </section>
      <TrustFigures version={saves} />
      <div class="form-actions">
        <button
          type="button"
          class={isTried ? '' : 'primary'}
          disabled={settings === null || trying}
          onClick={() => settings !== null && void tryThem(settings)}
        >
          {trying ? s.trying : s.try}
        </button>
      </div>
      <div role="alert">{failure !== null && <p class="message out">{failure}</p>}</div>
      {trial !== null && isTried && <TrialTable trial={trial} />}
      {isTried && !same(settings, inForce) ? (
        <SaveSettings
          settings={settings}
          people={people}
          done={() => {
            setSaves(n => n + 1);
            setTyped(null);
            setTrial(null);
          }}
        />
      ) : (
        settings !== null && !same(settings, inForce) && <p class="hint">{s.saveFirst}</p>
      )}
      <p role="status">{saves > 0 && typed === null ? s.saved : ''}</p>
      <History version={saves} nameOf={people.nameOf} />
    </>
  );
}

function shownEffect(settings: DriftSettings, assumed: WatchState['computed']['assumed']) {
  const { cusum, ewma, patternFalseCallsPer100Passes } = effectOf(settings, assumed);
  const kept = (chart: typeof cusum) => ({ ...chart, shifts: [...chart.shifts] });
  return { cusum: kept(cusum), ewma: kept(ewma), patternFalseCallsPer100Passes };
}

/** The same to the digits that can be typed. */
function same(a: DriftSettings, b: DriftSettings): boolean {
  return JSON.stringify(typedSettings(a)) === JSON.stringify(typedSettings(b));
}

interface HistoryProps {
  readonly version: number;
  readonly nameOf: (id: string) => string;
}

function History({ version, nameOf }: HistoryProps) {
  const { api } = useApp();
  const t = text.value.changes.settings;
  const { value } = useRead(`history ${version}`, () =>
    api.get<EntryPage>(['entries'], { kind: 'watchChanged' }),
  );
  if (value === null || value.entries.length === 0) return null;
  return (
    <section aria-label={t.history}>
      <h2>{t.history}</h2>
      <ul>
        {value.entries.map(({ id, author, at, reason, body }) => (
          <li key={id}>
            {t.changed(nameOf(author), whenText(at), reason ?? '')}
            {body.kind === 'watchChanged' && (
              <span class="hint">
                {' '}
                k {body.settings.k}, h {body.settings.h}, λ {body.settings.lambda}, L {body.settings.width}
              </span>
            )}
          </li>
        ))}
      </ul>
    </section>
  );
}
