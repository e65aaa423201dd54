//! Rules for breaking lines, words, sentences and signs: those of `icu_segmenter_data` 2.4.0 (CLDR 49,
//! Unicode 18.0), as they are in `data`. A script that is written without spaces breaks between any two
//! of its signs.

#![no_std]

include!("../data/segmenter_break_grapheme_cluster_v1.rs.data");
include!("../data/segmenter_break_line_v1.rs.data");
include!("../data/segmenter_break_sentence_override_v1.rs.data");
include!("../data/segmenter_break_sentence_v1.rs.data");
include!("../data/segmenter_break_word_override_v1.rs.data");
include!("../data/segmenter_break_word_v1.rs.data");

/// The provider of a crate that takes its data from here.
#[macro_export]
macro_rules! make_provider {
    ($provider: ty) => {
        impl $provider {
            #[allow(dead_code)]
            pub(crate) const MUST_USE_MAKE_PROVIDER_MACRO: () = ();
        }
        icu_provider::marker::impl_data_provider_never_marker!($provider);
    };
}

/// No dictionary: a provider that has none of this kind.
#[macro_export]
macro_rules! no_dictionary {
    ($provider: ty, $marker: path) => {
        impl icu_provider::DataProvider<$marker> for $provider {
            fn load(
                &self,
                request: icu_provider::DataRequest,
            ) -> Result<icu_provider::DataResponse<$marker>, icu_provider::DataError> {
                Err(icu_provider::DataErrorKind::IdentifierNotFound
                    .with_req(<$marker as icu_provider::DataMarker>::INFO, request))
            }
        }
    };
}

/// Chinese and Japanese: none.
#[macro_export]
macro_rules! impl_segmenter_dictionary_auto_v2 {
    ($provider: ty) => {
        no_dictionary!($provider, icu::segmenter::provider::SegmenterDictionaryAutoV2);
    };
}

/// Burmese, Khmer, Lao and Thai: none.
#[macro_export]
macro_rules! impl_segmenter_dictionary_extended_v2 {
    ($provider: ty) => {
        no_dictionary!($provider, icu::segmenter::provider::SegmenterDictionaryExtendedV2);
    };
}

/// The Unicode version of the data, for the documentation of the crate that takes it.
#[macro_export]
macro_rules! unicode_tag {
    () => {
        "18.0.0"
    };
}
