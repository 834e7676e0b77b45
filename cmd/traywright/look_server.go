package main

import (
	"crypto/rand"
	"crypto/subtle"
	"encoding/json"
	"net/http"
	"strconv"
	"strings"
	"time"

	"traywright/cam/page"
)

// lookServer answers the browser of the person who started it, and nobody else. Whoever comes
// without the cookie, which only the printed address hands out, for another host, or from
// another page, is told nothing. It reads no file: it hands out what the feed has made.
type lookServer struct {
	host   string // as the Host header has to say it
	token  string // in the printed address
	cookie string // traded for it
	named  string // the cookie's name, with the port in it: a browser gives all ports of a host the same cookies
	feed   *lookFeed
	routes *http.ServeMux
}

const lookWait = 20 * time.Second // that a question for the next state is kept

func newLookServer(host string, feed *lookFeed) *lookServer {
	_, port, _ := strings.Cut(host, ":")
	s := &lookServer{host: host, token: rand.Text(), cookie: rand.Text(), named: "traywright-look-" + port, feed: feed, routes: http.NewServeMux()}
	s.routes.HandleFunc("GET /{$}", s.page)
	s.routes.HandleFunc("GET /state", s.state)
	s.routes.HandleFunc("GET /room", func(w http.ResponseWriter, r *http.Request) { answer(w, s.feed.room(r.URL.Query().Get("at"))) })
	s.routes.HandleFunc("GET /place", func(w http.ResponseWriter, r *http.Request) {
		asked := r.URL.Query()
		answer(w, s.feed.place(r.Context(), lookChange{Piece: asked.Get("piece"), At: asked.Get("at"), Tray: asked.Get("tray")}))
	})
	s.routes.HandleFunc("POST /edit", s.edit)
	s.routes.HandleFunc("POST /undo", func(w http.ResponseWriter, r *http.Request) { answer(w, s.feed.undo(r.Context())) })
	return s
}

// address is what is printed. Its token is good until the program ends, and does not stay in
// the browser's address: see enter.
func (s *lookServer) address() string { return "http://" + s.host + "/?token=" + s.token }

// lookHeaders are on every answer.
var lookHeaders = map[string]string{
	"Content-Security-Policy":      page.LookPolicy(),
	"X-Content-Type-Options":       "nosniff",
	"X-Frame-Options":              "DENY",
	"Referrer-Policy":              "no-referrer",
	"Cache-Control":                "no-store",
	"Cross-Origin-Opener-Policy":   "same-origin",
	"Cross-Origin-Resource-Policy": "same-origin",
}

func (s *lookServer) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	for name, value := range lookHeaders {
		w.Header().Set(name, value)
	}
	switch {
	case r.Host != s.host || !s.ours(r):
		refuse(w, "this page is for the computer that it runs on, and for no other page")
	case r.Method == http.MethodGet && r.URL.Path == "/" && r.URL.Query().Has("token"):
		s.enter(w, r)
	case !s.entered(r):
		refuse(w, "open the address that traywright look printed: it is of this run, and has a token")
	default:
		s.routes.ServeHTTP(w, r)
	}
}

func refuse(w http.ResponseWriter, why string) { http.Error(w, why, http.StatusForbidden) }

// ours reports whether a request comes from the page itself, or from a person who typed or
// opened its address. A browser says where from; what writes has to say it.
func (s *lookServer) ours(r *http.Request) bool {
	origins, sites := r.Header.Values("Origin"), r.Header.Values("Sec-Fetch-Site")
	for _, o := range origins {
		if o != "http://"+s.host {
			return false
		}
	}
	for _, site := range sites {
		if site != "same-origin" && !(site == "none" && r.Method == http.MethodGet) {
			return false
		}
	}
	return r.Method == http.MethodGet || len(origins) == 1
}

// enter trades the token for a cookie, and takes it out of the address.
func (s *lookServer) enter(w http.ResponseWriter, r *http.Request) {
	if !same(r.URL.Query().Get("token"), s.token) {
		refuse(w, "this token is not of this run: open the address that it printed")
		return
	}
	http.SetCookie(w, &http.Cookie{Name: s.named, Value: s.cookie, Path: "/", HttpOnly: true, SameSite: http.SameSiteStrictMode})
	w.Header().Set("Location", "/")
	w.WriteHeader(http.StatusSeeOther)
}

func (s *lookServer) entered(r *http.Request) bool {
	for _, c := range r.CookiesNamed(s.named) {
		if same(c.Value, s.cookie) {
			return true
		}
	}
	return false
}

func same(given, ours string) bool {
	return subtle.ConstantTimeCompare([]byte(given), []byte(ours)) == 1
}

func (s *lookServer) page(w http.ResponseWriter, _ *http.Request) {
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.Write(s.feed.page())
}

// state is the first state that is another than the one seen, or the one seen when nothing has
// come for a while.
func (s *lookServer) state(w http.ResponseWriter, r *http.Request) {
	seen, err := strconv.Atoi(r.URL.Query().Get("seen"))
	if err != nil {
		http.Error(w, "seen is a number", http.StatusBadRequest)
		return
	}
	answer(w, s.feed.after(r.Context(), seen, lookWait))
}

// edit takes a change of a few words.
func (s *lookServer) edit(w http.ResponseWriter, r *http.Request) {
	var change lookChange
	in := json.NewDecoder(http.MaxBytesReader(w, r.Body, 4096))
	in.DisallowUnknownFields()
	if r.Header.Get("Content-Type") != "application/json" || in.Decode(&change) != nil {
		http.Error(w, "a change is one JSON document", http.StatusBadRequest)
		return
	}
	answer(w, s.feed.edit(r.Context(), change))
}

func answer(w http.ResponseWriter, v any) {
	w.Header().Set("Content-Type", "application/json")
	writeJSON(w, v)
}
