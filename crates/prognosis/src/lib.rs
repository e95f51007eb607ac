//! prognosis
