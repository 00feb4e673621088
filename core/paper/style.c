/* The look: a job card on paper. Quiet ground, one ink, rules instead of boxes; colour is never the only sign.
 * Contrast of all words and figures against their ground is 7:1 or better in light and dark (WCAG 2.2, 1.4.6); of marks
 * and lines 3:1 or better (1.4.11). tests/unit/paper checks it from this text.
 */
#include "paper/inside.h"

/* Tables of this class as cards: each cell under the other, its column's title before it. */
#define STACKED(of)                                                                                                 \
    of " thead{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%)}" of "," of " tbody," of \
       " tr," of " th," of " td{display:block;width:auto}" of                                                       \
       " tr{border-bottom:1px solid var(--rule);padding:.5rem 0}" of " tr:last-child{border-bottom:0}"              \
       ".pw-paper " of " tbody th,.pw-paper " of                                                                    \
       " tbody td{border-bottom:0;padding:.12rem 0;text-align:left;min-width:0;white-space:normal}" of              \
       " td[data-none]{display:none}" of " .pw-br::before{content:','}" of                                          \
       " td::before{content:attr(data-t);display:inline-block;min-width:9.5rem;padding-right:.8rem;"                \
       "color:var(--soft);font-weight:400}"

const char *const paper_style[] = {
    ".pw-paper{"
    "--ground:#fbfaf5;--ink:#1d2322;--soft:#434a47;--rule:#8b8f86;--thin:#d9d8cd;--card:#f2f0e7;"
    "--good:#14512f;--bad:#8c1515;--caution:#633a00;"
    "--c0:#134f86;--c1:#9a4a00;--c2:#11633f;--c3:#6a2f94;--c4:#9c1f4b;--c5:#3d5257;"
    "--hatch:#b8615a;--hatch-ground:#fbeeea;--shade:#dde7ea;"
    "color:var(--ink);background:var(--ground);"
    "font:17px/1.55 system-ui,-apple-system,'Segoe UI',Roboto,'Noto Sans','DejaVu Sans',sans-serif;"
    "max-width:68rem;margin:0 auto;padding:1.25rem 1rem 3rem;box-sizing:border-box;overflow-wrap:break-word}",
    "@media (prefers-color-scheme:dark){.pw-paper{"
    "--ground:#161a1a;--ink:#eceae2;--soft:#c0c3bc;--rule:#7c837f;--thin:#353b3a;--card:#1f2525;"
    "--good:#93d9ab;--bad:#ffb3a8;--caution:#f2cb83;"
    "--c0:#8cc4f5;--c1:#f5b26b;--c2:#84d6a6;--c3:#d2aef2;--c4:#f7a3c0;--c5:#b4c7cc;"
    "--hatch:#b5645c;--hatch-ground:#2d1f1e;--shade:#263438}}",
    ".pw-paper *{box-sizing:border-box}",
    ".pw-top{border-top:6px solid var(--ink);border-bottom:1px solid var(--rule);padding:.8rem 0 .9rem;"
    "display:flex;flex-wrap:wrap;gap:.4rem 1.5rem;align-items:baseline;justify-content:space-between}",
    ".pw-top p{margin:0;color:var(--soft);letter-spacing:.04em;flex:1 0 100%}",
    ".pw-paper h1{font:700 1.9rem/1.2 Georgia,'Times New Roman','DejaVu Serif',serif;margin:0}",
    ".pw-stamp{border:2px solid var(--ink);padding:.05rem .7rem;font-weight:700;letter-spacing:.08em}",
    ".pw-paper h2{font:700 1.35rem/1.3 Georgia,'Times New Roman','DejaVu Serif',serif;margin:2.4rem 0 .7rem;"
    "padding-top:.6rem;border-top:1px solid var(--rule)}",
    ".pw-paper h3{font-size:1.06rem;line-height:1.35;margin:1.6rem 0 .4rem}",
    ".pw-paper p{margin:.7rem 0;max-width:44rem}",
    ".pw-lead{font:1.35rem/1.45 Georgia,'Times New Roman','DejaVu Serif',serif}",
    ".pw-note{border-left:5px solid var(--rule);background:var(--card);padding:.6rem .9rem;max-width:44rem}",
    ".pw-note.pw-good{border-color:var(--good)}.pw-note.pw-bad{border-color:var(--bad)}",
    ".pw-note.pw-caution{border-color:var(--caution)}",
    ".pw-paper ul,.pw-paper ol{margin:.6rem 0;padding-left:1.6rem;max-width:44rem}",
    ".pw-paper li{margin:.35rem 0;padding-left:.15rem}",
    ".pw-facts{display:grid;grid-template-columns:minmax(8rem,max-content) 1fr;margin:.8rem 0;border-top:1px solid "
    "var(--thin)}",
    ".pw-facts>div{display:contents}",
    ".pw-facts dt,.pw-facts dd{margin:0;padding:.32rem 0;border-bottom:1px solid var(--thin)}",
    ".pw-facts dt{color:var(--soft);padding-right:1.4rem}",
    ".pw-scroll{overflow-x:auto;margin:1rem 0;border-top:2px solid var(--ink);border-bottom:1px solid var(--rule)}",
    ".pw-scroll:focus-visible{outline:3px solid var(--c0);outline-offset:2px}",
    ".pw-paper "
    "table{border-collapse:collapse;width:100%;font-size:16px;line-height:1.4;font-variant-numeric:tabular-nums}",
    ".pw-paper .pw-cap{margin:1rem 0 .35rem;color:var(--soft)}.pw-cap+.pw-scroll{margin-top:0}",
    ".pw-paper th,.pw-paper td{text-align:left;vertical-align:top;padding:.42rem .8rem .42rem 0;"
    "border-bottom:1px solid var(--thin)}",
    ".pw-paper thead th{vertical-align:bottom;border-bottom:1px solid var(--rule);font-weight:600}",
    ".pw-paper tbody th{font-weight:600}.pw-paper tbody th:not(.pw-n){min-width:8rem}",
    ".pw-paper tbody tr:last-child>*{border-bottom:0}",
    ".pw-paper th.pw-n,.pw-paper td.pw-n{text-align:right;white-space:nowrap;padding-left:.6rem}.pw-paper thead "
    "th.pw-n{white-space:normal}",
    ".pw-paper td.pw-w{min-width:13rem}.pw-paper td.pw-s{white-space:pre}",
    "@media (max-width:520px){.pw-facts{grid-template-columns:1fr}.pw-facts dt{border-bottom:0;padding-bottom:0}"
    ".pw-facts dd{padding-top:.1rem}}",
    "@media screen and (max-width:620px){" STACKED(".pw-stack") "}",
    "@media screen and (max-width:1080px){.pw-paper .pw-broad{font-size:15px}"
    ".pw-paper .pw-broad th,.pw-paper .pw-broad td{padding-right:.3rem}}",
    "@media screen and (max-width:900px){" STACKED(".pw-broad") "}",
    ".pw-unit{display:block;font-weight:400;color:var(--soft)}",
    ".pw-paper .pw-good{color:var(--good)}.pw-paper .pw-bad{color:var(--bad);font-weight:600}",
    ".pw-paper .pw-caution{color:var(--caution);font-weight:600}.pw-paper .pw-muted{color:var(--soft)}",
    ".pw-paper .pw-note{color:var(--ink);font-weight:400}",
    ".pw-sign{display:inline-block;width:1.25em;font-weight:700}",
    ".pw-paper figure{margin:1.2rem 0}",
    ".pw-paper figcaption{font-weight:600;margin-bottom:.5rem;max-width:44rem}",
    ".pw-photo{break-inside:avoid}.pw-photo img{display:block;max-width:100%;max-height:20rem}",
    ".pw-paper hr.pw-page{border:0;border-top:1px solid var(--rule);margin:2.4rem 0 0}",
    "@media print{.pw-paper hr.pw-page{border:0;margin:0;break-after:page}}",
    ".pw-key{list-style:none;padding:0!important;margin:.5rem 0 0!important;max-width:none!important}",
    ".pw-key li{display:flex;gap:.6rem;align-items:flex-start;padding:0!important;margin:.15rem "
    "0!important;font-size:16px}",
    ".pw-key svg{flex:none;width:30px;height:24px}",
    ".pw-paper svg{display:block;font:16px system-ui,-apple-system,'Segoe UI',Roboto,'Noto Sans','DejaVu "
    "Sans',sans-serif}",
    ".pw-wide{display:none!important;width:100%;max-width:54rem;height:auto}",
    ".pw-narrow{width:100%;max-width:30rem;height:auto}",
    "@media (min-width:820px){.pw-wide{display:block!important}.pw-narrow{display:none!important}}",
    ".pw-paper text{fill:var(--ink);font-size:16px}",
    ".pw-paper text.pw-tick,.pw-paper text.pw-axis{fill:var(--soft)}",
    ".pw-paper text.pw-tag{paint-order:stroke;stroke:var(--ground);stroke-width:5px;stroke-linejoin:round}",
    ".pw-paper text.pw-strong{font-weight:700;fill:var(--bad)}",
    ".pw-paper text.pw-on{fill:var(--ground);font-weight:700}",
    ".pw-grid{stroke:var(--thin);stroke-width:1}.pw-rule{stroke:var(--rule);stroke-width:1.2}",
    ".pw-level{stroke:var(--soft);stroke-width:1.2;stroke-dasharray:5 4}",
    ".pw-shade{fill:var(--shade)}.pw-band{stroke:var(--bad);stroke-width:1}",
    ".pw-hatch{stroke:var(--hatch);stroke-width:2.2}.pw-hatch-ground{fill:var(--hatch-ground)}",
    ".pw-c0{--c:var(--c0)}.pw-c1{--c:var(--c1)}.pw-c2{--c:var(--c2)}.pw-c3{--c:var(--c3)}.pw-c4{--c:var(--c4)}.pw-c5{--"
    "c:var(--c5)}",
    ".pw-bar{fill:var(--c)}.pw-full{fill:var(--c);stroke:var(--ground);stroke-width:1}",
    ".pw-open{fill:none;stroke:var(--c);stroke-width:2.4}",
    ".pw-line{fill:none;stroke:var(--c);stroke-width:1.8;stroke-linejoin:round}",
    ".pw-swing{fill:var(--c);fill-opacity:.3;stroke:var(--c);stroke-width:.8;stroke-linejoin:round}",
    "@media print{.pw-paper{--ground:#fff;--ink:#000;--soft:#333;--rule:#777;--thin:#ccc;--card:#f4f4f0;"
    "--good:#14512f;--bad:#8c1515;--caution:#633a00;"
    "--c0:#134f86;--c1:#9a4a00;--c2:#11633f;--c3:#6a2f94;--c4:#9c1f4b;--c5:#3d5257;"
    "--hatch:#b8615a;--hatch-ground:#fbeeea;--shade:#dde7ea;"
    "font-size:10.5pt;line-height:1.4;max-width:none;padding:0}",
    ".pw-paper h2{margin:1.1rem 0 .4rem}.pw-paper h3{margin:.8rem 0 .3rem}.pw-paper li{margin:.15rem 0}"
    ".pw-paper p,.pw-paper ul,.pw-paper ol,.pw-paper figure,.pw-facts{margin:.4rem 0}.pw-lead{font-size:1.1rem}"
    ".pw-wide{max-width:30rem}",
    ".pw-paper table{font-size:9pt}.pw-scroll{overflow:visible}",
    ".pw-paper h2,.pw-paper h3{break-after:avoid}.pw-paper tr,.pw-paper figure,.pw-note,.pw-paper "
    "li{break-inside:avoid}",
    ".pw-paper thead{display:table-header-group}",
    ".pw-wide{display:block!important}.pw-narrow{display:none!important}}",
    NULL,
};
