// Joins the library's passkey script to the forms of our pages; a browser without passkeys shows none of it.
const forms = window.allauth.webauthn.forms;
const ids = (ids) => ({ ids: { ...ids, data: "passkey-data" } });
const there = (id) => document.getElementById(id);

if (window.PublicKeyCredential) {
  if (there("passkey-login")) {
    there("by-passkey").hidden = false;
    forms.loginForm({ ids: { login: "passkey-login-button", credential: "passkey-login" } });
  }
  if (there("passkey-add")) {
    forms.addForm(ids({ add: "passkey-add", passwordless: "id_passwordless", credential: "id_credential" }));
  }
  if (there("passkey-once-more")) {
    forms.authenticateForm(ids({ authenticate: "passkey-once-more", credential: "id_credential" }));
  }
  if (there("passkey-second")) {
    there("by-passkey").hidden = false;
    forms.authenticateForm(ids({ authenticate: "passkey-second", credential: "passkey-second-credential" }));
  }
}
