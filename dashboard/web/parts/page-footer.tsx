import { useApp } from '../app-context.ts';
import { text } from '../text/text.ts';
import { THEMES } from '../theme/screen-settings.ts';
import { SessionLine } from './session-line.tsx';

/** The caution, always there, and what can be set on this screen. */
export function PageFooter() {
  const { screen } = useApp();
  const t = text.value;
  const awake = screen.awake.value;
  return (
    <footer class="foot">
      <p class="caution">
        {t.caution.line} <a href="#/about">{t.caution.open}</a>
      </p>
      <SessionLine />
      <section class="settings" aria-label={t.screen.label}>
        <a class="button" href="#/settings">
          {t.settings.open}
        </a>
        <fieldset class="choice" aria-label={t.screen.theme}>
          {THEMES.map(theme => (
            <button
              key={theme}
              type="button"
              aria-pressed={screen.theme.value === theme}
              onClick={() => screen.setTheme(theme)}
            >
              {t.screen.themes[theme]}
            </button>
          ))}
        </fieldset>
        <button
          type="button"
          aria-pressed={screen.gloves.value}
          onClick={() => screen.setGloves(!screen.gloves.value)}
        >
          {t.screen.gloves}
        </button>
        {awake === 'unavailable' ? (
          <p class="awake-note">{t.screen.awakeUnavailable}</p>
        ) : (
          <button
            type="button"
            aria-pressed={awake === 'on'}
            onClick={() => void screen.setAwake(awake !== 'on')}
          >
            {awake === 'lost' ? t.screen.awakeLost : t.screen.awake}
          </button>
        )}
      </section>
    </footer>
  );
}
