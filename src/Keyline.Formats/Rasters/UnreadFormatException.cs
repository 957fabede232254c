namespace Keyline.Formats;

/// <summary>A file that is sound as far as can be told, in a format or a way of storing it that is not read here.</summary>
internal sealed class UnreadFormatException(string message) : Exception(message);
