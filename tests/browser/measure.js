/* Boxes of all words as they stand on the screen, and what is wrong with them. */
(() => {
  const wide = document.documentElement.clientWidth;
  const shown = (e) => e.checkVisibility() && !e.closest(".hidden");
  const words = [];
  const note = (text, box, size, picture) => {
    if (text.trim() && box.width > 0)
      words.push({ text: text.trim(), box: [box.left, box.top, box.right, box.bottom], size, picture });
  };
  for (const part of document.querySelectorAll("svg text")) {
    if (!shown(part)) continue;
    const m = part.getScreenCTM(), grown = Math.hypot(m.a, m.b);
    const picture = part.ownerSVGElement.getBoundingClientRect();
    const lines = part.querySelectorAll("tspan");
    for (const line of lines.length ? lines : [part])
      note(line.textContent, line.getBoundingClientRect(), parseFloat(getComputedStyle(line).fontSize) * grown, [picture.left, picture.top, picture.right, picture.bottom]);
  }
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) {
    const node = walker.currentNode, parent = node.parentElement;
    if (!node.data.trim() || parent.closest("svg, script, style, noscript, option") || !shown(parent)) continue;
    const range = document.createRange();
    range.selectNodeContents(node);
    for (const box of range.getClientRects()) note(node.data, box, parseFloat(getComputedStyle(parent).fontSize), null);
  }
  const controls = [...document.querySelectorAll("button, select, input")].filter(shown);
  const beyond = [...document.querySelectorAll("body *")].filter((e) => shown(e) && !e.closest("svg") && e.getBoundingClientRect().right > wide + 0.5);
  return {
    words,
    wide,
    scroll: document.documentElement.scrollWidth,
    beyond: beyond.map((e) => `${e.tagName} ${e.className} ${e.textContent.slice(0, 40)}`),
    controls: controls.map((e) => [e.id, e.getBoundingClientRect().height]),
    views: [...document.querySelectorAll(".layout")].map((l) => [...l.querySelectorAll(".view")].map((v) => { const b = v.getBoundingClientRect(); return [b.left, b.top, b.right, b.bottom]; })),
  };
})()
