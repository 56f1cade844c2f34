// Opens a photo over the whole screen. What does the showing is loaded with the first photo that is opened, so that a
// page stays light; if that fails, the link leads to the full-size picture as it does without scripts.

/** Let every photo link of the page open the viewer; with another key held, a link stays a link. */
export function enhance(template) {
  const links = [...document.querySelectorAll('.photo-link')]
  for (const link of links) {
    link.addEventListener('click', async (event) => {
      if (event.ctrlKey || event.metaKey || event.shiftKey || event.altKey) return
      event.preventDefault()
      try {
        const { show } = await import('./viewer-dialog.mjs')
        show(links, link, template)
      } catch {
        location.assign(link.href)
      }
    })
  }
}
