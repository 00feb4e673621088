/* What can hurt somebody, and what to do about it: one panel where work is done. */
import { useWords, type Key } from '../i18n/words';

export function Safety({ names }: { names: string[] }) {
  const t = useWords();
  if (names.length === 0) return null;
  return (
    <details class="caution">
      <summary>
        <svg viewBox="0 0 24 24" aria-hidden="true"><path d="M12 3 22 20H2z" /><path class="inner" d="M11 9h2v6h-2zM11 16.5h2v2h-2z" /></svg>
        <span>{t('caution.panel')} <b>{names.map((name) => t(`caution.${name}.title` as Key)).join(' ')}</b></span>
      </summary>
      <SafetyWords names={names} />
    </details>
  );
}

export function SafetyWords({ names }: { names: string[] }) {
  const t = useWords();
  return <>{names.map((name) => <p key={name} data-caution={name}><b>{t(`caution.${name}.title` as Key)}</b> {t(`caution.${name}` as Key)}</p>)}</>;
}

type Site = { [key: string]: unknown } | null;
const kinds = (site: Site): unknown[] => (Array.isArray(site?.sources) ? site.sources.map((source) => (source as { kind?: unknown } | null)?.kind) : []);

/** Where somebody works on the site. */
export function siteCautions(site: Site): string[] {
  const sources = kinds(site);
  const vessels = Array.isArray(site?.vessels) && site.vessels.length > 0;
  return [sources.includes('bore') && 'well', sources.includes('mains') && 'mains', sources.includes('open') && 'suction', vessels && 'vessel', 'supply']
    .filter((name): name is string => typeof name === 'string');
}

/** Where somebody puts settings in. */
export function settingsCautions(sentences: string[]): string[] {
  return ['supply', sentences.some((sentence) => /retry after|release by itself/i.test(sentence)) ? 'retry' : 'restart'];
}
